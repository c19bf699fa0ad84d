/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The drawing of an equipment on the bench: one of the pictures that can be shown where the photo is, and the one shown
 * for a check that is taken at no point of a photo. It stays while field checks are in hand, until a photo is asked for;
 * a measurement of a box brings that box's photo. */
#include "config.h"

#include "bl-bench-page-private.h"

#include <glib/gi18n-lib.h>

#include "bl-format.h"
#include "bl-wiring-view.h"

static gboolean
drawing_is_shown (BlBenchPage *self)
{
  return g_strcmp0 (self->photo_key, BL_BENCH_DRAWING) == 0;
}

static void
activated (BlBenchPage *self, const char *measurement)
{
  BlMeasurementItem *item = self->bench != NULL ? bl_bench_find (self->bench, measurement) : NULL;

  if (item != NULL)
    bl_bench_select (self->bench, item);
  bl_bench_page_focus (self);
}

GtkWidget *
bl_bench_wiring_build (BlBenchPage *self)
{
  self->wiring = bl_wiring_view_new ();
  gtk_widget_set_visible (self->wiring, FALSE);
  gtk_widget_set_hexpand (self->wiring, TRUE);
  g_signal_connect_swapped (self->wiring, "activated", G_CALLBACK (activated), self);
  return self->wiring;
}

void
bl_bench_wiring_begin (BlBenchPage *self)
{
  const BlEquipment *equipment = bl_bench_get_equipment (self->bench);

  bl_wiring_view_set_items (BL_WIRING_VIEW (self->wiring), NULL);
  bl_wiring_view_set_board (BL_WIRING_VIEW (self->wiring),
                            equipment != NULL ? bl_bench_get_board (self->bench) : NULL, equipment);
}

void
bl_bench_wiring_show (BlBenchPage *self)
{
  gboolean drawing = drawing_is_shown (self);

  gtk_widget_set_visible (self->wiring, drawing);
  gtk_widget_set_visible (self->photo, !drawing);
  gtk_widget_set_visible (self->chip, !drawing);
}

void
bl_bench_wiring_refresh (BlBenchPage *self)
{
  BlWiringView *view = BL_WIRING_VIEW (self->wiring);
  BlMeasurementItem *current = bl_bench_get_current (self->bench);
  const BlFaultPlace *likely = bl_bench_likely_place (self->bench);
  const BlPlaces *places = bl_bench_get_places (self->bench);

  if (bl_bench_get_equipment (self->bench) == NULL)
    return;
  /* Of the conductors the likeliest is pointed at. */
  if (likely != NULL && likely->kind == BL_PLACE_PARTS && bl_len (places->parts) > 0)
    likely = bl_at (places->parts, 0);
  bl_wiring_view_set_items (view, bl_bench_get_measurements (self->bench));
  bl_wiring_view_set_current (view, current != NULL ? bl_measurement_item_get_id (current) : NULL);
  if (likely != NULL)
    {
      g_autofree char *odds = bl_format_odds (likely->probability);
      g_autofree char *words = g_strdup_printf (_ ("likely failed: %s %s"), likely->id, odds);
      bl_wiring_view_set_likely (view, likely->id, words);
    }
  else
    bl_wiring_view_set_likely (view, NULL, NULL);
}

/* The picture that goes with the measurement in hand; NULL: that shown now. */
const char *
bl_bench_wiring_picture (BlBenchPage *self)
{
  const BlTestPoint *point = bl_bench_view_point (self);
  BlMeasurementItem *current = bl_bench_get_current (self->bench);
  gboolean between = bl_bench_get_equipment (self->bench) != NULL && current != NULL
                     && bl_bench_role_of (self->bench, bl_measurement_item_get_id (current)) == NULL;
  gboolean on_photo = point != NULL && point->photo != NULL
                      && bl_board_photo (bl_bench_get_board (self->bench), point->photo) != NULL;

  if (between && (!on_photo || drawing_is_shown (self)))
    return BL_BENCH_DRAWING;
  return on_photo && (self->photo_key == NULL || strchr (self->photo_key, ':') == NULL || drawing_is_shown (self))
           ? point->photo
           : NULL;
}

/* Between the drawing and the photo of the point in hand, or the first. */
static void
toggle (BlBenchPage *self)
{
  const BlTestPoint *point = bl_bench_view_point (self);
  GPtrArray *photos = bl_bench_photos_list (self->photos);

  if (!drawing_is_shown (self))
    bl_bench_page_show_photo (self, BL_BENCH_DRAWING);
  else if (point != NULL && point->photo != NULL)
    bl_bench_page_show_photo (self, point->photo);
  else if (bl_len (photos) > 1)
    bl_bench_page_show_photo (self, ((BlBenchPhoto *) bl_at (photos, 1))->key);
}

gboolean
bl_bench_wiring_key (BlBenchPage *self, guint keyval, GdkModifierType state)
{
  const GdkModifierType all = GDK_CONTROL_MASK | GDK_SHIFT_MASK | GDK_ALT_MASK;

  if (bl_bench_get_equipment (self->bench) == NULL || gdk_keyval_to_lower (keyval) != GDK_KEY_e
      || (state & all) != GDK_CONTROL_MASK)
    return FALSE;
  if (bl_bench_page_in_probe (self))
    g_action_group_activate_action (G_ACTION_GROUP (self->actions), "probe", NULL);
  toggle (self);
  return TRUE;
}
