/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

G_BEGIN_DECLS

/* The places on the bench. */
typedef enum
{
  BL_PLACE_STRIP,
  BL_PLACE_PHOTO,
  BL_PLACE_FOCUS,
  BL_PLACE_LIST,
  BL_PLACE_SUSPECTS,
  BL_PLACE_NEXT,
  BL_PLACE_TREE,
  BL_PLACE_LOG,
  BL_PLACE_CHART, /* the tree in full, over the lower half, while it is enlarged */
  BL_PLACE_WHY, /* over strip and photo while its child is visible */
  BL_PLACE_SHOWN, /* the same place, for the fault shown */
  BL_PLACE_PROVING, /* the same place, for proving a repair */
  BL_PLACE_TOLD,  /* and for what somebody else read */
  BL_PLACE_DRILL, /* in the place of suspects, next and tree while its child is visible */
  BL_PLACE_PATH,  /* in the place of the list */
  BL_N_PLACES
} BlPlace;

/* Puts the parts of the bench on the grid: base 4 px, drawn for 1280 x 800. What does not fit folds:
 * log, then tree; focus panel and photo never. */
#define BL_TYPE_BENCH_LAYOUT (bl_bench_layout_get_type ())
G_DECLARE_FINAL_TYPE (BlBenchLayout, bl_bench_layout, BL, BENCH_LAYOUT, GtkWidget)

GtkWidget *bl_bench_layout_new (void);
/* Takes the widget for this place; children are drawn in the order they are put. */
void bl_bench_layout_put (BlBenchLayout *self, BlPlace place, GtkWidget *child);
/* Tree or log over the list and the lower right; BL_N_PLACES: none. */
void bl_bench_layout_enlarge (BlBenchLayout *self, BlPlace place);
BlPlace bl_bench_layout_get_enlarged (BlBenchLayout *self);

G_END_DECLS
