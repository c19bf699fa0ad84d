/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gio/gio.h>
#include <jansson.h>

G_BEGIN_DECLS

/* Private to model: one run of benchlore-meter. */
typedef struct BlMeterRun BlMeterRun;

/* A line came (transfer none); NULL: one that is no JSON object. The run may be ended from within. */
typedef void (*BlMeterRunLine) (json_t *line, gpointer data);
/* It is over, said once: words say why, NULL where it ended well. The run may be freed from within. */
typedef void (*BlMeterRunEnd) (const char *words, gpointer data);

/* arguments: n of them, the program's name not among them; NULL stands for one left out. NULL with an error where
 * the program can not be started. (transfer full) */
BlMeterRun *bl_meter_run_new (const char *const *arguments, guint n, BlMeterRunLine line, BlMeterRunEnd end,
                              gpointer data, GError **error);
/* Ends the process; no callback comes any more. NULL is nothing. */
void bl_meter_run_free (BlMeterRun *run);

/* From now on: without another call within so many milliseconds the process is ended and words are the
 * reason. */
void bl_meter_run_deadline (BlMeterRun *run, guint milliseconds, const char *words);
/* A line for its standard input. */
void bl_meter_run_send (BlMeterRun *run, const char *line);

G_END_DECLS
