/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

#include "bl-bench.h"
#include "bl-reasons.h"
#include "bl-style.h"

G_BEGIN_DECLS

/* What is called with a measurement's id when a row or a button about it is pressed. */
typedef struct
{
  BlBench *bench;
  BlPressed go, again, strike, expected;
  BlPressed choose;  /* which of the readings that quarrel is checked */
  const char *checking; /* that one */
  gpointer data;
} BlWhyActs;

/* Each appends to box, a vertical one. */
void bl_why_add_quarrel (GtkWidget *box, const BlWhyActs *acts, const BlDiagnosis *diagnosis);
void bl_why_add_reasons (GtkWidget *box, const BlWhyActs *acts, const BlReasons *reasons, gboolean figures);
void bl_why_add_turns (GtkWidget *box, const BlWhyActs *acts, const BlReasons *reasons);

/* Faults that no reading can show. */
void bl_why_add_not_visible (GtkWidget *box, const BlDiagnosis *diagnosis);

/* Measurements that quarrel, each once, as the sets name them: ids owned by diagnosis; NULL: none does.
 * (transfer container) */
GPtrArray *bl_why_quarrelling (const BlDiagnosis *diagnosis);

G_END_DECLS
