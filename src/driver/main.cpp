#include "driver/run.h"

int main(int argc, char** argv) {
    return benchleaf::driver::run(argc, argv);
}
