#include "sim/cli.hpp"

int main(int argc, char** argv) { return restwell::command_line(argc, argv); }
