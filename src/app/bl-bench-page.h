/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

#include "bl-bench.h"

G_BEGIN_DECLS

/* The bench: one job. Signal "free-entry": the free entry in the header is asked for. */
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

/* Asks for whom and how the report of the job is made: bl-bench-report.c. */
void bl_bench_report_ask (BlBenchPage *self);

G_END_DECLS
