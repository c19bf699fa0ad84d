/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-library-numbers.h"

G_BEGIN_DECLS

/* The shop's figures as lines: for the screen, for the command line, and as a table of comma-separated values. */

typedef struct
{
  const char *id; /* as in the table: "returns_within_30_days" */
  char *title;    /* "Came back within 30 days" */
  char *value;    /* "1 of 12", "7.4 on average, half of them 6 at most"; "–" where nothing is known */
  char *meaning;  /* what is counted, a sentence */
} BlNumbersLine;
void bl_numbers_line_free (BlNumbersLine *line);

/* Everything but causes, parts and months, in the order to read it. (transfer full) GPtrArray of BlNumbersLine */
GPtrArray *bl_numbers_lines (const BlNumbers *numbers);

/* "5 of 12"; from BL_NUMBERS_FEW on "5 of 25, 20 %"; "–" of none. (transfer full) */
char *bl_numbers_of_words (guint n, guint of);
/* "K1 · 12 V relay · Relay", whatever is known of it. edition: with the board's name before. (transfer full) */
char *bl_numbers_part_words (const BlNumbersPart *part, gboolean edition);
/* Where the figures for stock come from, a sentence or two. (transfer full) */
char *bl_numbers_stock_words (const BlNumbers *numbers);
/* Whether the period has nothing of anything: no job taken in or ended, no part replaced. */
gboolean bl_numbers_nothing (const BlNumbers *numbers);
/* Why there is no chart; NULL: there are enough jobs for one. (transfer full) */
char *bl_numbers_no_chart_words (const BlNumbers *numbers);

/* A table as RFC 4180 has it: a head, then a line for each figure, ended by CR LF, numbers with a point. Columns:
 * figure, edition, item, count, of, value, unit; an empty edition is all of them. begin appends the head, append the
 * figures; edition NULL: all. */
void bl_numbers_csv_begin (GString *out);
void bl_numbers_csv_append (GString *out, const BlNumbers *numbers, const char *edition);
/* The whole: what was asked for, and where that is all editions, each of them. (transfer full) */
char *bl_numbers_csv (BlLibrary *library, const BlNumbersAsk *ask, GError **error);

G_END_DECLS
