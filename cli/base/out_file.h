/* A file that appears under its name only when it is whole. */
#ifndef NXW_OUT_FILE_H
#define NXW_OUT_FILE_H

#include <stdbool.h>
#include <stdio.h>

struct nxw_out_file {
    const char *path;
    char temporary[1024]; /* beside path; empty when there is none */
    FILE *file;           /* not inherited by other programs */
};

/*
 * Begin a file beside where it is to appear. What stands there is replaced in the end, so a device,
 * a pipe, a link or a folder is refused, and so is what this run has read or written
 * (used_files.h).
 *
 * Returned: NULL, or why it cannot be; to be closed only after NULL
 */
const char *nxw_out_file_open(struct nxw_out_file *out, const char *path);

/* Empties it again. false: it cannot be. */
bool nxw_out_file_restart(struct nxw_out_file *out);

/*
 * Given:    keep  true: put it in place; false: throw it away
 * Returned: NULL, or why it is not whole or not in place; nothing is left behind then
 */
const char *nxw_out_file_close(struct nxw_out_file *out, bool keep);

#endif
