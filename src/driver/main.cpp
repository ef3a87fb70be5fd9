#include "driver/run.h"

#include <csignal>

int main(int argc, char** argv) {
    // A file that may not grow is then a failed write like any other: it is told, and nothing half written is left.
    std::signal(SIGXFSZ, SIG_IGN);
    return benchleaf::driver::run(argc, argv);
}
