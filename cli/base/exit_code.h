/* How the command ends. */
#ifndef NXW_EXIT_CODE_H
#define NXW_EXIT_CODE_H

enum nxw_exit {
    NXW_EXIT_DONE = 0,
    NXW_EXIT_NOT_MET = 1, /* a target missed, or a check of selftest */
    NXW_EXIT_USAGE = 2,
    NXW_EXIT_CASE = 3,
    NXW_EXIT_RANGE = 4,
    NXW_EXIT_SOLVER = 5,
    NXW_EXIT_IO = 6,
    NXW_EXIT_INTERNAL = 70,
    NXW_EXIT_INTERRUPTED = 130
};

#endif
