/* The most that something comes to, between the steps that it is seen at. */
#ifndef NXW_PEAK_H
#define NXW_PEAK_H

struct nxw_peak { /* begins as {0} */
    int n;        /* points seen, two at most */
    double time_s[2], value[2];
    double most, at_s; /* nothing while n is 0 */
};

/*
 * Take the next point. Where the one before is no lower than its neighbours, the peak is that of
 * the parabola through the three, unless one of these is more than five times as far away as the
 * other: so it is at a break of the source, where curves have corners.
 *
 * Given:    time_s  later than before
 */
void nxw_peak_add(struct nxw_peak *peak, double time_s, double value);

#endif
