#include "driver/run.h"

#include <csignal>

int main(int argc, char** argv) {
    std::signal(SIGXFSZ,
                SIG_IGN); // a file that may not grow is an error of the write, and told; nothing half written is left
    return benchleaf::driver::run(argc, argv);
}
