#include "base/gnuplot.h"

#include <errno.h>
#include <fcntl.h>
#include <spawn.h>
#include <stdlib.h>
#include <string.h>
#include <sys/ioctl.h>
#include <sys/wait.h>
#include <unistd.h>

static const char MISSING[] = "gnuplot is missing; install the package gnuplot-nox";
static const char NO_ROOM[] = "no room for a temporary file";

void nxw_gnuplot_quoted(FILE *script, const char *text)
{
    /* within double quotes gnuplot runs what stands between ` and `, and puts in what @ names */
    static const char special[] = "\"\\`@";
    (void)fputc('"', script);
    for (; *text != '\0'; text++)
        if (strchr(special, *text) != NULL)
            (void)fprintf(script, "\\%03o", (unsigned)(unsigned char)*text);
        else
            (void)fputc((unsigned char)*text >= 0x20 ? *text : ' ', script);
    (void)fputc('"', script);
}

static int between(int value, int low, int high)
{
    return value < low ? low : value > high ? high : value;
}

void nxw_gnuplot_terminal(FILE *script)
{
    struct winsize window = {.ws_row = 25, .ws_col = 80};
    struct winsize there;
    if (ioctl(STDOUT_FILENO, TIOCGWINSZ, &there) == 0 && there.ws_row > 0 && there.ws_col > 0)
        window = there;
    /* the last column would wrap in some windows, and the prompt takes a line */
    (void)fprintf(script, "set encoding utf8\nset terminal dumb mono size %d,%d\n",
                  between(window.ws_col - 1, 40, 200), between(window.ws_row - 1, 12, 60));
}

void nxw_gnuplot_svg(FILE *script, int width, int height, const char *font)
{
    (void)fprintf(script,
                  "set encoding utf8\nset terminal svg size %d,%d dynamic background rgb 'white' "
                  "font '%s'\n",
                  width, height, font);
}

/* Start gnuplot with its input from a descriptor and its output to one. 0 or an errno. */
static int start(int in, int out, pid_t *child)
{
    char program[] = "gnuplot", plain[] = "-d", from_stdin[] = "-";
    char *const words[] = {program, plain, from_stdin, NULL};
    char locale[] = "LC_ALL=C.UTF-8", home[] = "HOME=/nonexistent", path[4096];
    const char *given = getenv("PATH");
    (void)snprintf(path, sizeof path, "PATH=%s", given != NULL ? given : "/usr/bin:/bin");
    char *const environment[] = {path, locale, home, NULL};
    posix_spawn_file_actions_t actions;
    int wrong = posix_spawn_file_actions_init(&actions);
    if (wrong != 0)
        return wrong;
    wrong = posix_spawn_file_actions_adddup2(&actions, in, STDIN_FILENO);
    if (wrong == 0)
        wrong = posix_spawn_file_actions_adddup2(&actions, out, STDOUT_FILENO);
    if (wrong == 0)
        wrong = posix_spawnp(child, program, &actions, NULL, words, environment);
    (void)posix_spawn_file_actions_destroy(&actions);
    return wrong;
}

/* What gnuplot prints, into a file of ours: gnuplot ends well even when it could not write all.
 * NULL, or why not. */
static const char *take(int from, FILE *out)
{
    char bytes[4096];
    for (;;) {
        const ssize_t n = read(from, bytes, sizeof bytes);
        if (n < 0 && errno == EINTR)
            continue;
        if (n < 0 || (n > 0 && fwrite(bytes, 1, (size_t)n, out) != (size_t)n) ||
            (n == 0 && fflush(out) != 0))
            return strerror(errno);
        if (n == 0)
            return NULL;
    }
}

static const char *run(int script, FILE *out)
{
    int ends[2];
    pid_t child = 0;
    if (pipe(ends) != 0)
        return strerror(errno);
    (void)fcntl(ends[0], F_SETFD, FD_CLOEXEC);
    (void)fcntl(ends[1], F_SETFD, FD_CLOEXEC);
    const int wrong = start(script, ends[1], &child);
    (void)close(ends[1]); /* else the end is never seen */
    const char *why = wrong == 0 ? take(ends[0], out) : wrong == ENOENT ? MISSING : strerror(wrong);
    (void)close(ends[0]);
    if (wrong != 0)
        return why;
    int status = 0;
    while (waitpid(child, &status, 0) < 0 && errno == EINTR)
        continue;
    if (WIFEXITED(status) && WEXITSTATUS(status) == 127)
        return MISSING;
    return why != NULL                                     ? why
           : WIFEXITED(status) && WEXITSTATUS(status) == 0 ? NULL
                                                           : "gnuplot failed";
}

const char *nxw_gnuplot(bool (*write)(FILE *script, void *user), void *user, FILE *out)
{
    FILE *script = tmpfile();
    if (script == NULL)
        return NO_ROOM;
    (void)fcntl(fileno(script), F_SETFD, FD_CLOEXEC);
    const bool written = write(script, user) && fflush(script) == 0 && ferror(script) == 0 &&
                         lseek(fileno(script), 0, SEEK_SET) == 0;
    const char *why = written ? run(fileno(script), out) : "what is to be drawn cannot be written";
    (void)fclose(script);
    return why;
}

/* gnuplot fills lines up with blanks and begins each picture with a form feed. */
static void print_plain(FILE *file)
{
    size_t blanks = 0;
    for (int c = fgetc(file); c != EOF; c = fgetc(file)) {
        if (c == ' ') {
            blanks++;
            continue;
        }
        if (c == '\f')
            continue;
        for (; blanks > 0 && c != '\n'; blanks--)
            (void)fputc(' ', stdout);
        blanks = 0;
        (void)fputc(c, stdout);
    }
}

const char *nxw_gnuplot_text(bool (*write)(FILE *script, void *user), void *user)
{
    FILE *file = tmpfile();
    if (file == NULL)
        return NO_ROOM;
    (void)fcntl(fileno(file), F_SETFD, FD_CLOEXEC);
    const char *why = nxw_gnuplot(write, user, file);
    if (why == NULL) {
        rewind(file);
        print_plain(file);
    }
    (void)fclose(file);
    return why;
}
