/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-diagnosis.h"

G_BEGIN_DECLS

/* Acts on parts once measuring on the board has said what it can: test the part by itself, or replace
 * it. Order by probability over cost. */

/* Something that may put the fault right. */
typedef struct
{
  double cost;         /* each time it comes to it, above 0 */
  double repair;       /* in addition when it was that */
  const double *fixes; /* of each fault the chance that this puts it right */
} BlActOption;

enum { BL_ACTS_EXACT = 12 };

/* Sets order to the numbers of all acts as they are best taken, one after the other until the fault is
 * put right, and returns the expected cost: the sum over acts of cost x chance that it comes to it, and
 * repair x chance that it was that. prior: of the faults, one of which is there; sums to 1. Least for
 * up to BL_ACTS_EXACT acts (all orders, by dynamic programming over sets); beyond that by chance of
 * success over cost, which is least when each act has a fault of its own and never fails
 * (J. Kadane and H. Simon, Optimal strategies for a class of constrained sequential problems, 1977;
 * from memory). */
double bl_acts_order (guint n_faults, const double *prior, guint n_acts, const BlActOption *acts, guint *order);

/* One act on a part. */
typedef struct
{
  char *component;
  gboolean replace;    /* at once; FALSE: test it first, replace it when it is bad */
  char *measurement;   /* an unread one without power that shows this part alone; NULL: by itself */
  double probability;  /* that it is the root cause */
  double cost_s;       /* of the test, or of replacing where that is the act */
  double replace_s;
  char **causes;       /* parts not tested yet that may have broken it: it is not replaced before; or NULL */
} BlAct;

struct BlActs
{
  GPtrArray *list;    /* BlAct in order */
  double expected_s;  /* until the part is replaced, if it is one of these */
  double probability; /* that it is one of these */
  char *stage;        /* the stage that is isolated; NULL: none yet */
};
void bl_acts_free (BlActs *acts);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (BlActs, bl_acts_free)

/* Seconds to test a part by itself without power, and to replace it, where its document says nothing:
 * common practice, no source. */
#define BL_ACT_TEST_S 120
#define BL_ACT_REPLACE_S 600
#define BL_STAGE_ISOLATED 0.95

G_END_DECLS
