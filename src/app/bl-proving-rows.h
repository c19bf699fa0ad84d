/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

#include "bl-proving.h"
#include "bl-style.h"

G_BEGIN_DECLS

/* The rows of the proving panel; what is pressed is said as its signal "act" has it. */
typedef struct
{
  BlBench *bench;
  BlPressed pressed;
  gpointer data;
  const BlSafetyLimits *limits;
  int ruler; /* width of the rulers, px */
} BlProvingActs;

/* A heading with its key, and what it is about. */
void bl_proving_add_heading (GtkWidget *box, const BlProvingActs *acts, const char *words, const char *does,
                             const char *cap, const char *hint, const char *what);
void bl_proving_add_pairs (GtkWidget *box, const BlProvingActs *acts, GPtrArray *pairs);
void bl_proving_add_checks (GtkWidget *box, const BlProvingActs *acts, GPtrArray *checks);
void bl_proving_add_safety (GtkWidget *box, const BlProvingActs *acts);
/* A paragraph. (transfer none) */
GtkWidget *bl_proving_add_words (GtkWidget *box, const char *words, const char *classes);

G_END_DECLS
