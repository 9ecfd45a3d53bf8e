#include "run/solver.h"

#include <cvodes/cvodes.h>
#include <math.h>
#include <nvector/nvector_serial.h>
#include <stdio.h>
#include <string.h>
#include <sundials/sundials_linearsolver.h>
#include <sundials/sundials_matrix.h>
#include <sunnonlinsol/sunnonlinsol_newton.h>

#include "base/memory.h"
#include "run/jacobian.h"
#include "run/vector_arithmetic.h"

struct nxw_solver {
    struct nxw_train *train;
    SUNContext context;
    void *cvode;
    N_Vector x;
    const double *relative, *absolute; /* tolerances; the caller's */
    struct nxw_jacobian *jacobian;
    SUNMatrix J, J_saved; /* the second is the integrator's as soon as it asks for a clone */
    SUNLinearSolver linear;
    SUNNonlinearSolver newton;
    N_Vector correction, step, weight; /* the last of Newton's; the one taken; of errors */
    N_Vector spare, vectors;           /* the second: the latest of all */
    bool short_of_memory;              /* the spare has been handed out */
    double t_s, start_s;               /* the second: of the last start */
    struct nxw_statistics before; /* of the integrations before the last restart; orders: of all */
    char reason[160];
};

struct matrix {
    struct nxw_train_matrix elements; /* first: a matrix's content is taken for it */
    struct nxw_solver *solver;
};

static struct nxw_train_matrix *elements(SUNMatrix A)
{
    return &((struct matrix *)A->content)->elements;
}

static int rates(realtype t, N_Vector x, N_Vector rate, void *user)
{
    struct nxw_solver *s = user;
    return nxw_train_rates(s->train, t, N_VGetArrayPointer(x), N_VGetArrayPointer(rate)) ? 0 : 1;
}

/* Newton begins, also anew after a failure: its counter is set back only then. */
static bool newton_begins(struct nxw_solver *s, N_Vector x)
{
    realtype t, gamma, rl1;
    N_Vector predicted, now, rate, zn1;
    void *user;
    return CVodeGetNonlinearSystemData(s->cvode, &t, &predicted, &now, &rate, &gamma, &rl1, &zn1,
                                       &user) < 0 ||
           memcmp(N_VGetArrayPointer(x), N_VGetArrayPointer(predicted),
                  s->train->n_states * sizeof(double)) == 0;
}

/* In Newton's third and later iterations the weights of the slices stay what they are: what they
 * would still move leaves less than Newton's tolerance in 99 of 100 steps, and no answer shows it.
 */
static int rates_in_newton(realtype t, N_Vector x, N_Vector rate, void *user)
{
    struct nxw_solver *s = user;
    int iteration = 0;
    (void)SUNNonlinSolGetCurIter(s->newton, &iteration);
    if (iteration < 2 || newton_begins(s, x))
        return rates(t, x, rate, user);
    const double *now = N_VGetArrayPointer(x);
    return nxw_train_rates_at_weights(s->train, t, now, N_VGetArrayPointer(rate)) ? 0 : 1;
}

/*
 * The error of a state counts against relative |x| + absolute. While bubbles fill after a start,
 * for a third of a second and a ten-thousandth of the source's time at most, their contents count a
 * tenth.
 */
static int weights(N_Vector x, N_Vector weight, void *user)
{
    static const double FILLING_S = 10.0; /* where they settle in a rise */
    const struct nxw_solver *s = user;
    const struct nxw_train *train = s->train;
    const double *value = N_VGetArrayPointer(x);
    double *w = N_VGetArrayPointer(weight);
    for (size_t i = 0; i < train->n_states; i++)
        w[i] = 1.0 / (s->relative[i] * fabs(value[i]) + s->absolute[i]);
    for (size_t k = 0; k < train->n_stages; k++)
        if (s->t_s - s->start_s <
            fmin(FILLING_S / train->stages[k].settles_faster, 1e-4 * train->source.source_end_s))
            for (size_t i = 0; i < train->stages[k].n_path; i++)
                w[train->first[k] + i] *= 0.1;
    return 0;
}

static int jacobian(realtype t, N_Vector x, N_Vector rate, SUNMatrix J, void *user, N_Vector a,
                    N_Vector b, N_Vector c)
{
    struct nxw_solver *s = user;
    (void)a, (void)b, (void)c;
    /* the integrator's word: the last rates asked for are those at this state */
    const double *now = N_VGetArrayPointer(x), *last = N_VGetArrayPointer(rate);
    return nxw_jacobian_fill(s->jacobian, t, now, last, elements(J)) ? 0 : 1;
}

/* -------------------------------------------------------------------------- vectors and matrices
 *
 * The integrator (6.4) uses a clone without asking whether there is one, and where it fails it
 * gives vectors back twice. So one clone of the matrix, all that it wants, is made beforehand; a
 * vector for which there is no memory is the spare, and the solver sees that it is short of memory
 * before a number has been computed; and all vectors live as long as the solver. */

struct vector { /* begins as the integrator's own vectors do */
    struct _N_VectorContent_Serial serial;
    struct nxw_solver *solver;
    N_Vector earlier;
    double value[];
};

static N_Vector vector_create(struct nxw_solver *s, N_Vector like)
{
    const size_t n = s->train->n_states;
    N_Vector v = N_VNewEmpty(s->context);
    struct vector *content = nxw_allocate(sizeof *content + n * sizeof(double));
    if (v == NULL || content == NULL || N_VCopyOps(like, v) != 0) {
        nxw_release(content);
        if (v != NULL)
            N_VFreeEmpty(v);
        return NULL;
    }
    content->serial.length = (sunindextype)n;
    content->serial.data = content->value;
    content->solver = s;
    content->earlier = s->vectors;
    v->content = content;
    return s->vectors = v;
}

static N_Vector vector_clone(N_Vector like)
{
    struct nxw_solver *s = ((struct vector *)like->content)->solver;
    N_Vector v = vector_create(s, like);
    s->short_of_memory = s->short_of_memory || v == NULL;
    return v != NULL ? v : s->spare;
}

static void vector_keep(N_Vector v) { (void)v; }

static void vectors_release(struct nxw_solver *s)
{
    while (s->vectors != NULL) {
        N_Vector v = s->vectors;
        struct vector *content = v->content;
        s->vectors = content->earlier;
        nxw_release(content);
        N_VFreeEmpty(v);
    }
}

/* The vector of the states and the spare. */
static bool vectors_create(struct nxw_solver *s)
{
    N_Vector serial = N_VNewEmpty_Serial((sunindextype)s->train->n_states, s->context);
    if (serial == NULL)
        return false;
    s->x = vector_create(s, serial);
    N_VDestroy(serial);
    if (s->x == NULL)
        return false;
    s->x->ops->nvclone = vector_clone;
    s->x->ops->nvdestroy = vector_keep;
    nxw_vector_arithmetic(s->x);
    s->spare = vector_create(s, s->x);
    s->correction = vector_create(s, s->x);
    s->step = vector_create(s, s->x);
    s->weight = vector_create(s, s->x);
    return s->spare != NULL && s->correction != NULL && s->step != NULL && s->weight != NULL;
}

static SUNMatrix_ID matrix_id(SUNMatrix A)
{
    (void)A;
    return SUNMATRIX_CUSTOM;
}

static SUNMatrix matrix_clone(SUNMatrix A)
{
    struct nxw_solver *s = ((struct matrix *)A->content)->solver;
    SUNMatrix clone = s->J_saved;
    s->J_saved = NULL;
    return clone;
}

static void matrix_destroy(SUNMatrix A)
{
    if (A->content != NULL)
        nxw_train_matrix_free(elements(A));
    nxw_release(A->content);
    A->content = NULL;
    SUNMatFreeEmpty(A);
}

static int matrix_zero(SUNMatrix A)
{
    struct nxw_train_matrix *m = elements(A);
    memset(m->element, 0, m->n_elements * sizeof *m->element);
    return SUNMAT_SUCCESS;
}

static int matrix_copy(SUNMatrix A, SUNMatrix B)
{
    nxw_train_matrix_copy(elements(A), elements(B));
    return SUNMAT_SUCCESS;
}

static int matrix_scale_add_identity(realtype c, SUNMatrix A)
{
    nxw_train_matrix_scale_add_identity(elements(A), c);
    return SUNMAT_SUCCESS;
}

static SUNMatrix matrix_create(struct nxw_solver *s)
{
    SUNMatrix A = SUNMatNewEmpty(s->context);
    if (A == NULL)
        return NULL;
    A->ops->getid = matrix_id;
    A->ops->clone = matrix_clone;
    A->ops->destroy = matrix_destroy;
    A->ops->zero = matrix_zero;
    A->ops->copy = matrix_copy;
    A->ops->scaleaddi = matrix_scale_add_identity;
    struct matrix *content = nxw_allocate(sizeof *content);
    A->content = content;
    if (content == NULL || !nxw_train_matrix_make(s->train, &content->elements)) {
        matrix_destroy(A);
        return NULL;
    }
    content->solver = s;
    return A;
}

static SUNLinearSolver_Type linear_type(SUNLinearSolver S)
{
    (void)S;
    return SUNLINEARSOLVER_DIRECT;
}

static int linear_setup(SUNLinearSolver S, SUNMatrix A)
{
    (void)S;
    return nxw_train_matrix_factor(elements(A)) ? SUNLS_SUCCESS : SUNLS_LUFACT_FAIL;
}

/*
 * Newton works with derivatives of some steps ago, so that a correction leaves a part of the error,
 * mostly in one direction. Two in turn tell how much: all but the first are taken along their
 * secant (Anderson's mixing of depth one, in the norm of the errors), held where the two hardly
 * differ.
 */
static void along_secant(struct nxw_solver *s, double *correction)
{
    const size_t n = s->train->n_states;
    double *before = N_VGetArrayPointer(s->correction), *step = N_VGetArrayPointer(s->step);
    const double *weight = N_VGetArrayPointer(s->weight);
    int iteration = 0;
    double further = 0.0;
    (void)SUNNonlinSolGetCurIter(s->newton, &iteration);
    if (iteration == 0) {
        (void)CVodeGetErrWeights(s->cvode, s->weight);
    } else {
        double along = 0.0, square = 0.0;
        for (size_t i = 0; i < n; i++) {
            const double less = (before[i] - correction[i]) * weight[i];
            along += correction[i] * weight[i] * less;
            square += less * less;
        }
        further = square > 0.0 ? fmax(-0.5, fmin(along / square, 1.5)) : 0.0;
    }
    for (size_t i = 0; i < n; i++) {
        const double now = correction[i];
        if (further != 0.0)
            correction[i] += further * (step[i] + now - before[i]);
        before[i] = now;
        step[i] = correction[i];
    }
}

static int linear_solve(SUNLinearSolver S, SUNMatrix A, N_Vector x, N_Vector b, realtype tolerance)
{
    (void)S, (void)tolerance;
    N_VScale(1.0, b, x);
    nxw_train_matrix_solve(elements(A), N_VGetArrayPointer(x));
    along_secant(((struct matrix *)A->content)->solver, N_VGetArrayPointer(x));
    return SUNLS_SUCCESS;
}

static int linear_free(SUNLinearSolver S)
{
    SUNLinSolFreeEmpty(S);
    return SUNLS_SUCCESS;
}

static SUNLinearSolver linear_create(SUNContext context)
{
    SUNLinearSolver S = SUNLinSolNewEmpty(context);
    if (S == NULL)
        return NULL;
    S->ops->gettype = linear_type;
    S->ops->setup = linear_setup;
    S->ops->solve = linear_solve;
    S->ops->free = linear_free;
    return S;
}

/* ------------------------------------------------------------------------------ the integrator */

static void remember(int code, const char *module, const char *function, char *message, void *user)
{
    struct nxw_solver *s = user;
    (void)module;
    (void)function;
    if (code < 0)
        (void)snprintf(s->reason, sizeof s->reason, "integrator code %d: %.120s", code, message);
}

/* Where the integrator's own context cannot be had it dereferences nothing or frees twice: ask for
 * more than enough first, and touch no context that it could not make. */
static bool context_create(SUNContext *context)
{
    enum { MORE_THAN_ENOUGH = 1 << 16 };
    void *probe = nxw_allocate(MORE_THAN_ENOUGH);
    nxw_release(probe);
    if (probe != NULL && SUNContext_Create(NULL, context) == 0)
        return true;
    *context = NULL;
    return false;
}

struct nxw_solver *nxw_solver_create(struct nxw_train *train, const double *x,
                                     const double *relative, const double *absolute)
{
    struct nxw_solver *s = nxw_allocate(sizeof *s);
    if (s == NULL)
        return NULL;
    s->train = train;
    s->relative = relative;
    s->absolute = absolute;
    if (!context_create(&s->context) || !vectors_create(s))
        goto failed;
    s->cvode = CVodeCreate(CV_BDF, s->context);
    s->jacobian = nxw_jacobian_create(train, absolute);
    s->J = matrix_create(s);
    s->J_saved = matrix_create(s);
    s->linear = linear_create(s->context);
    s->newton = SUNNonlinSol_Newton(s->x, s->context);
    if (s->cvode == NULL || s->newton == NULL || s->jacobian == NULL || s->J == NULL ||
        s->J_saved == NULL || s->linear == NULL)
        goto failed;
    memcpy(N_VGetArrayPointer(s->x), x, train->n_states * sizeof *x);
    /* Newton to some thousandths of the tolerance: what it leaves over looks like noise and holds
     * the order down. It may take five iterations for that: with three, hard cases ask for new
     * derivatives at every step. New ones are worth their time at the first factors after twelve
     * steps */
    if (CVodeSetErrHandlerFn(s->cvode, remember, s) < 0 ||
        CVodeInit(s->cvode, rates, 0.0, s->x) < 0 || CVodeSetUserData(s->cvode, s) < 0 ||
        CVodeWFtolerances(s->cvode, weights) < 0 ||
        CVodeSetNonlinearSolver(s->cvode, s->newton) < 0 ||
        CVodeSetLinearSolver(s->cvode, s->linear, s->J) < 0 ||
        CVodeSetNlsRhsFn(s->cvode, rates_in_newton) < 0 || CVodeSetJacFn(s->cvode, jacobian) < 0 ||
        CVodeSetNonlinConvCoef(s->cvode, 6e-3) < 0 || CVodeSetMaxNonlinIters(s->cvode, 5) < 0 ||
        CVodeSetJacEvalFrequency(s->cvode, 12) < 0 || CVodeSetMaxNumSteps(s->cvode, 100000) < 0 ||
        CVodeSetInitStep(s->cvode, 1e-4) < 0 || s->short_of_memory)
        goto failed;
    return s;
failed:
    nxw_solver_free(s);
    return NULL;
}

void nxw_solver_free(struct nxw_solver *s)
{
    if (s == NULL)
        return;
    if (s->cvode != NULL)
        CVodeFree(&s->cvode);
    if (s->newton != NULL)
        SUNNonlinSolFree(s->newton);
    if (s->linear != NULL)
        SUNLinSolFree(s->linear);
    if (s->J != NULL)
        SUNMatDestroy(s->J);
    if (s->J_saved != NULL)
        SUNMatDestroy(s->J_saved);
    nxw_jacobian_free(s->jacobian);
    vectors_release(s);
    if (s->context != NULL)
        SUNContext_Free(&s->context);
    nxw_release(s);
}

enum nxw_status nxw_solver_step(struct nxw_solver *s, double stop_s, double *t_s, const double **x)
{
    if (CVodeSetStopTime(s->cvode, stop_s) < 0)
        return NXW_ERROR_SOLVER;
    realtype t = s->t_s;
    const int flag = CVode(s->cvode, stop_s, s->x, &t, CV_ONE_STEP);
    if (flag < 0)
        return NXW_ERROR_SOLVER;
    int order = 0;
    if (CVodeGetLastOrder(s->cvode, &order) == CV_SUCCESS && order >= 1 && order <= NXW_ORDERS)
        s->before.steps_of_order[order - 1]++;
    s->t_s = *t_s = t;
    *x = N_VGetArrayPointer(s->x);
    return NXW_OK;
}

static void add_statistics(const struct nxw_solver *s, struct nxw_statistics *out)
{
    long steps = 0, rhs = 0, setups = 0, fails = 0, newton = 0, jacobians = 0, extra = 0;
    long newton_fails = 0;
    CVodeGetNumSteps(s->cvode, &steps);
    CVodeGetNumRhsEvals(s->cvode, &rhs);
    CVodeGetNumLinSolvSetups(s->cvode, &setups);
    CVodeGetNumErrTestFails(s->cvode, &fails);
    CVodeGetNumNonlinSolvIters(s->cvode, &newton);
    CVodeGetNumNonlinSolvConvFails(s->cvode, &newton_fails);
    CVodeGetNumJacEvals(s->cvode, &jacobians);
    CVodeGetNumLinRhsEvals(s->cvode, &extra);
    out->steps += steps;
    out->rhs += rhs + extra;
    out->factorisations += setups;
    out->error_test_failures += fails;
    out->newton_iterations += newton;
    out->newton_failures += newton_fails;
    out->jacobians += jacobians;
}

enum nxw_status nxw_solver_restart(struct nxw_solver *s)
{
    add_statistics(s, &s->before);
    s->start_s = s->t_s;
    if (CVodeReInit(s->cvode, s->t_s, s->x) < 0 || CVodeSetInitStep(s->cvode, 1e-4) < 0)
        return NXW_ERROR_SOLVER;
    return NXW_OK;
}

void nxw_solver_statistics(const struct nxw_solver *s, struct nxw_statistics *out)
{
    *out = s->before;
    add_statistics(s, out);
    out->states = s->train->n_states;
    out->nonzeros = elements(s->J)->n_elements;
}

const char *nxw_solver_reason(const struct nxw_solver *s)
{
    return s->reason[0] != '\0' ? s->reason : "the integrator stopped";
}
