/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Search and layers on the bench: two small panels over the photo, nothing of the job is touched by them.
 *
 * A test point or measurement found is taken in hand, since that is what follows; a component, stage or
 * section is shown on the photo until another measurement is in hand. What the diagnosis marks (suspects,
 * the likely failed stage) stays whatever is switched off. */
#include "config.h"

#include <glib/gi18n-lib.h>
#include <math.h>
#include <string.h>

#include "bl-bench-job-photo.h"
#include "bl-bench-page-private.h"
#include "bl-find.h"
#include "bl-proving-panel.h"
#include "bl-shell.h"
#include "bl-style.h"

/* --- what stands on the photo --- */

static BlPhotoItem *
find_item (GPtrArray *items, const char *component)
{
  for (guint i = 0; i < items->len; i++)
    {
      BlPhotoItem *item = g_ptr_array_index (items, i);
      if (item->kind == BL_PHOTO_COMPONENT && g_strcmp0 (item->id, component) == 0)
        return item;
    }
  return NULL;
}

/* A component at its place on the photo; NULL: it is not on it. */
static BlPhotoItem *
item_of (const BlBenchPlaces *places, const BlComponent *component)
{
  BlPhotoItem *item;
  BlPhotoFar far;
  double at[2];

  if (!bl_bench_places_find (places, BL_FAR_COMPONENT, component->id, component->photo, component->x, component->y, at,
                             &far))
    return NULL;
  item = bl_photo_item_new (BL_PHOTO_COMPONENT, component->id, component->id, at[0], at[1]);
  item->far = far;
  return item;
}

/* All documented components on this photo that are not there yet, below what is. */
static void
add_components (BlBenchPage *self, GPtrArray *items)
{
  const BlBoard *board = bl_bench_get_board (self->bench);
  g_autoptr (BlBenchPlaces) places = bl_bench_photos_places (self->photos, self->photo_key);
  guint n = 0;

  for (guint i = 0; i < bl_len (board->components); i++)
    {
      BlPhotoItem *item = find_item (items, ((const BlComponent *) bl_at (board->components, i))->id);
      if (item == NULL && (item = item_of (places, bl_at (board->components, i))) != NULL)
        g_ptr_array_insert (items, (int) n++, item);
    }
}

static void
add_stage (const BlBenchPlaces *places, GPtrArray *outlines, const BlStage *stage, const char *name)
{
  bl_bench_places_add_outlines (places, outlines, BL_FAR_STAGE, stage->id, stage->outlines, BL_PHOTO_STAGE, name);
}

static void
add_stages (BlBenchPage *self, GPtrArray *outlines)
{
  const BlBoard *board = bl_bench_get_board (self->bench);
  g_autoptr (BlBenchPlaces) places = bl_bench_photos_places (self->photos, self->photo_key);

  for (guint i = 0; i < bl_len (board->stages); i++)
    add_stage (places, outlines, bl_at (board->stages, i), NULL);
}

/* What was found comes last, so that it lies on top; it is forgotten when something else is in hand. */
static void
add_found (BlBenchPage *self, GPtrArray *items, GPtrArray *outlines)
{
  const BlBoard *board = bl_bench_get_board (self->bench);
  const BlRef *ref = &self->found;

  if (self->has_found && self->found_beside != bl_bench_get_current (self->bench))
    self->has_found = FALSE;
  if (!self->has_found)
    return;
  if (ref->element == BL_ELEMENT_COMPONENT)
    {
      const BlComponent *component = bl_board_component (board, ref->id);
      BlPhotoItem *item = find_item (items, ref->id);
      g_autoptr (BlBenchPlaces) places = bl_bench_photos_places (self->photos, self->photo_key);
      if (item == NULL && (component == NULL || (item = item_of (places, component)) == NULL))
        return;
      if (find_item (items, ref->id) == NULL)
        g_ptr_array_add (items, item);
      item->in_hand = TRUE;
    }
  else if (ref->element == BL_ELEMENT_STAGE && bl_board_stage (board, ref->id) != NULL)
    {
      const BlStage *stage = bl_board_stage (board, ref->id);
      g_autoptr (BlBenchPlaces) places = bl_bench_photos_places (self->photos, self->photo_key);
      add_stage (places, outlines, stage, stage->title != NULL ? stage->title : stage->id);
    }
}

BlLayers
bl_bench_layers_show (BlBenchPage *self, GPtrArray *items, GPtrArray *outlines)
{
  BlLayers layers = bl_layers_get (BL_LAYERS_BENCH);

  /* Suspects stand there without any layer: only what is added can be taken away. */
  if (self->photo_key == NULL)
    return layers;
  if ((layers & BL_LAYER_COMPONENTS) != 0)
    add_components (self, items);
  if ((layers & BL_LAYER_STAGES) != 0)
    add_stages (self, outlines);
  bl_layers_apply (layers | BL_LAYER_COMPONENTS, items, outlines);
  add_found (self, items, outlines);
  return layers;
}

static void
layers_changed (BlBenchPage *self)
{
  if (self->bench != NULL)
    bl_bench_view_show_marks (self);
}

/* --- going there --- */

static void
select_measurement (BlBenchPage *self, const BlRef *ref)
{
  GListModel *model = bl_bench_get_measurements (self->bench);
  BlMeasurementItem *first = NULL;

  for (guint i = 0; i < g_list_model_get_n_items (model); i++)
    {
      g_autoptr (BlMeasurementItem) item = g_list_model_get_item (model, i);
      const BlMeasurement *measurement = bl_measurement_item_get_measurement (item);
      gboolean it = ref->element == BL_ELEMENT_MEASUREMENT ? g_strcmp0 (measurement->id, ref->id) == 0
                                                           : g_strcmp0 (measurement->at, ref->id) == 0;
      if (!it)
        continue;
      /* Of several at a point, the first that is not read yet. */
      if (first == NULL || bl_measurement_item_get_record (item) == NULL)
        first = item; /* the model keeps it */
      if (bl_measurement_item_get_record (item) == NULL)
        break;
    }
  if (first != NULL)
    bl_bench_select (self->bench, first);
}

void
bl_bench_fly_arrive (BlBenchPage *self)
{
  const double *to = self->fly_to;

  if (self->fly_key == NULL || g_strcmp0 (self->fly_key, self->photo_key) != 0)
    return;
  if (bl_photo_view_get_surface (BL_PHOTO_VIEW (self->photo)) != NULL)
    bl_photo_view_fly (BL_PHOTO_VIEW (self->photo), to[0], to[1], to[2], to[3]);
  else if (!bl_bench_photos_is_broken (self->photos, self->fly_key))
    return;
  g_clear_pointer (&self->fly_key, g_free);
}

/* The box of the corners on the photo shown, where that is one of the job and the place is on it. */
static gboolean
aim_at_own (BlBenchPage *self, const BlWhere *where)
{
  const double corners[4][2]
    = { { where->x0, where->y0 }, { where->x1, where->y0 }, { where->x1, where->y1 }, { where->x0, where->y1 } };
  double *to = self->fly_to, x, y;
  g_autoptr (BlJobPhotoMap) map
    = self->photo_key != NULL && g_str_has_prefix (self->photo_key, "job:")
        ? bl_bench_map_photo (self->bench, g_ascii_strtoll (self->photo_key + strlen ("job:"), NULL, 10), NULL)
        : NULL;

  to[0] = to[1] = INFINITY;
  to[2] = to[3] = -INFINITY;
  for (guint i = 0; i < 4; i++)
    {
      if (map == NULL || !bl_job_photo_map_place (map, where->photo, corners[i][0], corners[i][1], &x, &y))
        return FALSE;
      to[0] = MIN (to[0], x);
      to[1] = MIN (to[1], y);
      to[2] = MAX (to[2], x);
      to[3] = MAX (to[3], y);
    }
  return TRUE;
}

static void
aim (BlBenchPage *self, const BlWhere *where)
{
  gboolean own = aim_at_own (self, where);

  g_free (self->fly_key);
  self->fly_key = g_strdup (own ? self->photo_key : where->photo);
  if (own)
    return;
  self->fly_to[0] = where->x0;
  self->fly_to[1] = where->y0;
  self->fly_to[2] = where->x1;
  self->fly_to[3] = where->y1;
}

static void
fly_to (BlBenchPage *self, const BlRef *ref)
{
  const BlBoard *board = bl_bench_get_board (self->bench);
  g_autofree char *what = bl_ref_words (board, ref);
  BlWhere where;

  if (!bl_find_where (board, ref, self->photo_key, &where))
    {
      g_autofree char *words = g_strdup_printf (_ ("%s has no place on a photo yet."), what);
      bl_widget_notify (GTK_WIDGET (self), words);
      return;
    }
  if (!bl_ref_equal (&where.of, ref))
    {
      g_autofree char *of = bl_ref_words (board, &where.of);
      g_autofree char *words = g_strdup_printf (_ ("%s has no place on a photo yet. This is %s."), what, of);
      bl_widget_notify (GTK_WIDGET (self), words);
    }
  aim (self, &where);
  if (g_strcmp0 (self->fly_key, self->photo_key) != 0)
    {
      bl_bench_page_show_photo (self, where.photo); /* it arrives once the board is framed there */
      return;
    }
  bl_bench_view_show_marks (self);
  bl_bench_fly_arrive (self);
}

static void
chosen (BlFinder *finder, gpointer data, BlBenchPage *self)
{
  BlRef ref = *(const BlRef *) data;

  bl_bench_page_focus (self);
  if (self->bench == NULL || bl_ref_find (bl_bench_get_board (self->bench), &ref) == NULL)
    return;
  if (ref.element == BL_ELEMENT_MEASUREMENT || ref.element == BL_ELEMENT_TEST_POINT)
    select_measurement (self, &ref);
  self->has_found = TRUE;
  self->found = ref;
  self->found_beside = bl_bench_get_current (self->bench);
  fly_to (self, &ref);
}

static const BlBoard *
board_now (gpointer data)
{
  BlBenchPage *self = data;

  return self->bench != NULL ? bl_bench_get_board (self->bench) : NULL;
}

/* --- the panels --- */

void
bl_bench_find_build (BlBenchPage *self, GtkOverlay *overlay)
{
  self->finder = bl_finder_new (board_now, self);
  g_signal_connect (self->finder, "chosen", G_CALLBACK (chosen), self);
  g_signal_connect_swapped (self->finder, "closed", G_CALLBACK (bl_bench_page_focus), self);
  self->layers = bl_layers_panel_new ();
  g_signal_connect_swapped (self->layers, "changed", G_CALLBACK (layers_changed), self);
  gtk_overlay_add_overlay (overlay, self->layers);
  gtk_overlay_add_overlay (overlay, self->finder);
}

void
bl_bench_find_forget (BlBenchPage *self)
{
  self->has_found = FALSE;
  g_clear_pointer (&self->fly_key, g_free);
  bl_finder_close (BL_FINDER (self->finder));
  bl_layers_panel_close (BL_LAYERS_PANEL (self->layers));
}

static void
act (GSimpleAction *action, GVariant *parameter, gpointer data)
{
  BlBenchPage *self = data;

  if (bl_bench_page_in_probe (self))
    return;
  /* They lie over the photo and would take the keys of what opens below them. */
  bl_fault_panel_close (BL_FAULT_PANEL (self->shown));
  bl_proving_panel_close (BL_PROVING_PANEL (self->proving));
  bl_told_panel_close (BL_TOLD_PANEL (self->told));
  bl_why_panel_close (BL_WHY_PANEL (self->why));
  if (g_str_equal (g_action_get_name (G_ACTION (action)), "find"))
    {
      bl_layers_panel_close (BL_LAYERS_PANEL (self->layers));
      bl_finder_open (BL_FINDER (self->finder));
    }
  else
    bl_layers_panel_toggle (BL_LAYERS_PANEL (self->layers));
}

void
bl_bench_find_add_actions (BlBenchPage *self)
{
  static const GActionEntry entries[]
    = { { "find", act, NULL, NULL, NULL, { 0 } }, { "layers", act, NULL, NULL, NULL, { 0 } } };

  g_action_map_add_action_entries (G_ACTION_MAP (self->actions), entries, G_N_ELEMENTS (entries), self);
}

/* --- what the corner of the photo tells --- */

GtkWidget *
bl_bench_corner_button (BlBenchPage *self, const char *cap, const char *words, const char *action)
{
  GtkWidget *button = bl_act_button ("photo-act", words, cap, TRUE);

  if (action != NULL)
    gtk_actionable_set_action_name (GTK_ACTIONABLE (button), action);
  /* Only what works now is told: grey on black it could not be read. */
  g_object_bind_property (button, "sensitive", button, "visible", G_BINDING_SYNC_CREATE);
  return button;
}

GtkWidget *
bl_bench_find_corner (BlBenchPage *self)
{
  GtkGrid *grid = GTK_GRID (gtk_grid_new ());

  /* The buttons find their actions here, wherever the photo stands. */
  gtk_widget_insert_action_group (GTK_WIDGET (grid), "photo", G_ACTION_GROUP (self->actions));
  gtk_grid_set_column_spacing (grid, 12);
  /* Below what is always there stands what is left out where it cannot be done. */
  gtk_grid_attach (grid, bl_bench_corner_button (self, _ ("Ctrl J"), _ ("find"), "photo.find"), 0, 1, 1, 1);
  gtk_grid_attach (grid, bl_bench_corner_button (self, _ ("Alt L"), _ ("layers"), "photo.layers"), 1, 0, 1, 1);
  gtk_grid_attach (grid, bl_bench_corner_button (self, "Z", _ ("whole board"), "photo.fit"), 0, 0, 1, 1);
  gtk_grid_attach (grid, bl_bench_corner_button (self, "F9", _ ("twin beside"), "photo.twin"), 1, 1, 1, 1);
  return GTK_WIDGET (grid);
}
