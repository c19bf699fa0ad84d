/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

#include "bl-bench.h"

G_BEGIN_DECLS

/* The bench: one job. Signals: "free-entry": the free entry in the header is asked for. "entering" (const char *text),
 * returns gboolean: Enter was pressed on it, or on nothing; TRUE: it was dealt with. "proving-dead", returns gboolean: the
 * proof of dead is to be taken; TRUE: it was, and nothing is to be typed. */
#define BL_TYPE_BENCH_PAGE (bl_bench_page_get_type ())
G_DECLARE_FINAL_TYPE (BlBenchPage, bl_bench_page, BL, BENCH_PAGE, GtkWidget)

GtkWidget *bl_bench_page_new (BlLibrary *library);
void bl_bench_page_set_bench (BlBenchPage *self, BlBench *bench);
/* NULL while no job is open. (transfer none) */
BlBench *bl_bench_page_get_bench (BlBenchPage *self);
/* All actions of the bench, to be inserted as "bench". (transfer none) */
GActionGroup *bl_bench_page_get_actions (BlBenchPage *self);
/* Puts the focus where a value is typed. */
void bl_bench_page_focus (BlBenchPage *self);
/* What was typed elsewhere and refused is being mended: nothing more is said about it. */
void bl_bench_page_mended (BlBenchPage *self);
/* Enters text as if typed; FALSE: it was refused and said why, or asked about. */
gboolean bl_bench_page_enter (BlBenchPage *self, const char *text);
/* A key before anybody else sees it. FALSE: not for the page. */
gboolean bl_bench_page_key (BlBenchPage *self, guint keyval, GdkModifierType state);

/* --- practice --- */

typedef enum
{
  BL_BENCH_FOR_JOBS,
  BL_BENCH_FOR_DRILL, /* a fault to be found without help: no odds, no advice, no tree */
  BL_BENCH_FOR_REPLAY /* a path that is gone through again: nothing can be entered */
} BlBenchUse;

/* What the page is for, before the first job is put on it. actions: the only ones that can be done, NULL-terminated,
 * copied. panel: stands in the place of suspects, advice and tree (drill), or of the list (replay). strip (may be NULL):
 * below the state banner. enter: what Enter does while nothing is typed, NULL: what it always does, "": nothing. */
void bl_bench_page_set_use (BlBenchPage *self, BlBenchUse use, const char *const *actions, GtkWidget *panel,
                            GtkWidget *strip, const char *enter);
/* In a look back: what stands in the place of a measurement at a step that has none. */
void bl_bench_page_show_act (BlBenchPage *self, const char *title, const char *words);
/* Says below the entry, or in the probe view, what is to be said of the entry. NULL: nothing more. */
void bl_bench_page_say (BlBenchPage *self, const char *text);
/* What follows every entry that was kept: that it was, what it changed of others, what is asked about the power. */
void bl_bench_page_kept (BlBenchPage *self);
/* Everything a key can mean on the page: the panels first, then the table of keys. FALSE: nothing. */
gboolean bl_bench_page_route_key (BlBenchPage *self, guint keyval, GdkModifierType state);

/* Asks for whom and how the report of the job is made: bl-bench-report.c. */
void bl_bench_report_ask (BlBenchPage *self);

G_END_DECLS
