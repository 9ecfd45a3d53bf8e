#include "report/statistics_report.h"

void nxw_statistics_print(FILE *out, const struct nxw_statistics *s)
{
    (void)fprintf(out,
                  "\nWhat the integrator did\n"
                  "  steps                    %ld, of order 1 to %d:",
                  s->steps, NXW_ORDERS);
    for (int i = 0; i < NXW_ORDERS; i++)
        (void)fprintf(out, "%s %ld", i > 0 ? "," : "", s->steps_of_order[i]);
    (void)fprintf(out,
                  "\n"
                  "  steps tried again        %ld: error too large; %ld: Newton failed\n"
                  "  right-hand sides         %ld\n"
                  "  Newton iterations        %ld\n"
                  "  Jacobians, factors       %ld, %ld\n"
                  "  states, elements stored  %zu, %zu\n"
                  "  runs                     %ld\n"
                  "  time of the processor    %.3g ms\n",
                  s->error_test_failures, s->newton_failures, s->rhs, s->newton_iterations,
                  s->jacobians, s->factorisations, s->states, s->nonzeros, s->runs,
                  s->processor_ms);
}

json_t *nxw_statistics_json(struct nxw_json *j, const struct nxw_statistics *s)
{
    json_t *o = nxw_json_object(j), *orders = nxw_json_array(j);
    nxw_json_integer(j, o, "runs", s->runs);
    nxw_json_integer(j, o, "steps", s->steps);
    for (int i = 0; i < NXW_ORDERS; i++)
        nxw_json_add(j, orders, json_integer(s->steps_of_order[i]));
    nxw_json_put(j, o, "steps_of_order", orders);
    nxw_json_integer(j, o, "rhs", s->rhs);
    nxw_json_integer(j, o, "jacobians", s->jacobians);
    nxw_json_integer(j, o, "factorisations", s->factorisations);
    nxw_json_integer(j, o, "newton_iterations", s->newton_iterations);
    nxw_json_integer(j, o, "newton_failures", s->newton_failures);
    nxw_json_integer(j, o, "error_test_failures", s->error_test_failures);
    nxw_json_number(j, o, "processor_ms", s->processor_ms);
    nxw_json_integer(j, o, "states", (long)s->states);
    nxw_json_integer(j, o, "nonzeros", (long)s->nonzeros);
    return o;
}
