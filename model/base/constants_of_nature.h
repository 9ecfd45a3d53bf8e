/* Numbers that no measurement of this trade changes. */
#ifndef NXW_CONSTANTS_OF_NATURE_H
#define NXW_CONSTANTS_OF_NATURE_H

#define NXW_PI 3.14159265358979323846
#define NXW_GAS_CONSTANT 8.314462618 /* J/(mol K), exact since 2019 (SI brochure) */
#define NXW_GRAVITY_M_S2 9.80665     /* standard gravity, by definition (SI brochure) */
#define NXW_ATMOSPHERE_PA 101325.0   /* by definition */
#define NXW_STANDARD_K 298.15

#endif
