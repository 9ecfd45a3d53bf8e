/* The integrator's arithmetic of vectors. */
#ifndef NXW_VECTOR_ARITHMETIC_H
#define NXW_VECTOR_ARITHMETIC_H

#include <nvector/nvector_serial.h>

/*
 * Gives a serial vector, and all clones of it, the operations that a run spends its time in. The
 * integrator's own do the same; Debian's SUNDIALS 6.4 is built without optimisation, and they took
 * a fifth of a run.
 */
void nxw_vector_arithmetic(N_Vector v);

#endif
