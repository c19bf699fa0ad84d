/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-board.h"

G_BEGIN_DECLS

/* What parts and supplies of a generic type give: limits that an expected value may be taken from, each with
 * its source and how far that was followed up. A row is for measurements of one kind, and fits components of
 * some kinds; it says nothing about a part it was not published for. */
typedef struct
{
  const char *kinds;         /* names of component kinds between bars, each with all that is below it */
  const char *like;          /* words between bars that a component's value of this type has; "": any */
  const char *measures;      /* name of the kind of measurement */
  const char *what;          /* "7805 class: output" */
  double low, nominal, high; /* SI base units; NAN: left out */
  const char *conditions;
  const char *source;
  const char *status;        /* "source named", "quoted second-hand", "from memory", "computed", or
                                "common practice, no source" */
} BlLimit;

guint bl_limits_count (void);
/* (transfer none), for the life of the program. */
const BlLimit *bl_limits_at (guint index);

typedef enum
{
  BL_LIMIT_OF_MEASURES, /* for this kind of measurement, but for other parts than there are */
  BL_LIMIT_OF_KIND,     /* a component there is of the row's kind */
  BL_LIMIT_OF_VALUE     /* and its value says that it is of this type */
} BlLimitFit;

/* How a row fits what can be read at a measurement: the components of the stage it reads, and those with
 * an effect on it. component (may be NULL): set to the first that fits best, NULL: none. FALSE for a row of
 * another kind of measurement. */
gboolean bl_limit_fit (const BlLimit *limit, const BlBoard *board, const BlMeasurement *measurement, BlLimitFit *fit,
                       const BlComponent **component);

/* The rows for this kind of measurement, those that fit best first, else in the order of the table; n_fitting
 * (may be NULL): how many fit a component there is. Returns: (transfer container), of BlLimit. */
GPtrArray *bl_limits_for (const BlBoard *board, const BlMeasurement *measurement, guint *n_fitting);

/* What is written as the source of a band taken from it: what, conditions, source and status in one line.
 * Returns: (transfer full). */
char *bl_limit_source (const BlLimit *limit);

/* Makes expected the row's band: nominal, low, high and source. Tolerance and what it followed go, and of the
 * limits of other classes those that the new band runs into. Marks stay. */
void bl_limit_apply (const BlLimit *limit, BlExpected *expected);

G_END_DECLS
