/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

#include "bl-bench-job-photo.h"

G_BEGIN_DECLS

/* The panel beside a photo of the job while its landmarks are set; part of the page. */
typedef struct
{
  GtkWidget *box, *title, *beside_name, *view, *rows, *words, *corner;
  gint64 photo;       /* of the job, whose landmarks are being set; 0: none is */
  char *beside;       /* photo of the edition chosen to stand beside; NULL: the one that fits */
  char *again;        /* landmark to be pressed once more; NULL: none */
  GPtrArray *skipped; /* names that are not asked for, NULL-terminated; NULL: none */
} BlBenchRegister;

/* What the panel shows. Nothing is owned. */
typedef struct
{
  const BlJobPhotoMap *map;
  const BlPhoto *beside;
  const char *beside_title;
  const char *asked; /* NULL: all are set */
  gboolean again;
  const BlPhotoJoin *join; /* NULL: not joined */
  const char *why_not;     /* with no join: the reason; NULL: too few yet */
} BlRegisterShown;

/* bl-bench-register-panel.c */
GtkWidget *bl_bench_register_panel_new (BlBenchRegister *self, GCallback act, gpointer data);
/* Panel and photos side by side: the photos have what the panel leaves. (transfer floating) */
GtkWidget *bl_bench_register_beside (GtkWidget *panel, GtkWidget *photos);
/* act (GtkButton *, data): pressed; what is in its data "act": "again L3", "other", "skip", "end". */
void bl_bench_register_panel_show (BlBenchRegister *self, const BlRegisterShown *shown, GCallback act, gpointer data);
/* Adds the landmarks of a photo to what stands on it; asked (may be NULL) is in hand. */
void bl_bench_register_add_landmarks (GPtrArray *items, const BlPhoto *photo, const char *asked);

G_END_DECLS
