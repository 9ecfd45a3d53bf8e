#include "base/diagnosis.h"

#include <stdarg.h>
#include <stdio.h>

void nxw_diagnosis_clear(struct nxw_diagnosis *diagnosis)
{
    if (diagnosis != NULL)
        *diagnosis = (struct nxw_diagnosis){.status = NXW_OK};
}

enum nxw_status nxw_refuse(struct nxw_diagnosis *diagnosis, enum nxw_status status,
                           const char *format, ...)
{
    if (diagnosis == NULL)
        return status;
    va_list arguments;
    va_start(arguments, format);
    (void)vsnprintf(diagnosis->text, sizeof diagnosis->text, format, arguments);
    va_end(arguments);
    return diagnosis->status = status;
}
