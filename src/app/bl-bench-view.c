/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The photos of the bench: which is shown, what is marked on it, what a press on it does.
 *
 * The photo changes to the other side only when the point in hand is there, and moves only when the
 * point is out of view. It begins with the board as large as it goes, without the table it lies on. On
 * a board from a photo alone a press on bare board adds a point, at once and without a question. */
#include "config.h"

#include <glib/gi18n-lib.h>
#include <math.h>
#include <string.h>

#include "bl-bench-page-private.h"
#include "bl-style.h"

/* --- photos --- */

static const char *
photo_title (BlBenchPage *self)
{
  GPtrArray *photos = bl_bench_photos_list (self->photos);

  for (guint i = 0; i < bl_len (photos); i++)
    if (g_strcmp0 (((BlBenchPhoto *) bl_at (photos, i))->key, self->photo_key) == 0)
      return ((BlBenchPhoto *) bl_at (photos, i))->title;
  return "";
}

/* The names keep out of the corner where the keys of the photo are told. */
static void
reserve_corner (BlBenchPage *self)
{
  gboolean here = self->twin_key == NULL;
  int w, h;

  gtk_widget_measure (self->chip, GTK_ORIENTATION_HORIZONTAL, -1, NULL, &w, NULL, NULL);
  gtk_widget_measure (self->chip, GTK_ORIENTATION_VERTICAL, w, NULL, &h, NULL, NULL);
  bl_photo_view_set_reserved (BL_PHOTO_VIEW (self->photo), here ? w : 0, here ? h : 0);
  bl_photo_view_set_reserved (BL_PHOTO_VIEW (self->twin), here ? 0 : w, here ? 0 : h);
}

void
bl_bench_view_show_marks (BlBenchPage *self)
{
  g_autofree char *likely = bl_likely_words (self->bench);
  g_autofree char *label
    = likely != NULL ? g_strdup_printf (_ ("Photo %s, likely failed stage: %s"), photo_title (self), likely)
      : self->use == BL_BENCH_FOR_DRILL
        ? g_strdup_printf (_ ("Photo %s"), photo_title (self))
        : g_strdup_printf (_ ("Photo %s, no likely failed stage yet"), photo_title (self));

  GPtrArray *items = bl_bench_photos_items (self->photos, self->photo_key, bl_bench_get_current (self->bench));
  GPtrArray *outlines = bl_bench_photos_outlines (self->photos, self->photo_key);

  BlLayers layers = bl_bench_layers_show (self, items, outlines);
  bl_bench_tree_add_item (self, items);
  bl_bench_register_show (self, items, outlines);
  bl_photo_view_set_items (BL_PHOTO_VIEW (self->photo), items);
  bl_photo_view_set_outlines (BL_PHOTO_VIEW (self->photo), outlines);
  bl_photo_view_set_dimmed (BL_PHOTO_VIEW (self->photo), (layers & BL_LAYER_DIMMED) != 0);
  bl_photo_view_describe (BL_PHOTO_VIEW (self->photo), label);
  reserve_corner (self);
  if (self->twin_key != NULL)
    {
      bl_photo_view_set_items (BL_PHOTO_VIEW (self->twin), bl_bench_photos_items (self->photos, self->twin_key,
                                                                                bl_bench_get_current (self->bench)));
      bl_photo_view_set_outlines (BL_PHOTO_VIEW (self->twin),
                                  bl_bench_photos_outlines (self->photos, self->twin_key));
      bl_photo_view_describe (BL_PHOTO_VIEW (self->twin), _ ("Twin"));
    }
}

const BlTestPoint *
bl_bench_view_point (BlBenchPage *self)
{
  BlMeasurementItem *item = bl_bench_get_current (self->bench);
  const BlMeasurement *measurement = item != NULL ? bl_measurement_item_get_measurement (item) : NULL;

  return measurement != NULL && measurement->at != NULL
           ? bl_board_test_point (bl_bench_get_board (self->bench), measurement->at)
           : NULL;
}

/* Where a point is on the photo shown. FALSE: not on it. */
static gboolean
place_of (BlBenchPage *self, const BlTestPoint *point, double at[2])
{
  g_autoptr (BlBenchPlaces) places = point != NULL ? bl_bench_photos_places (self->photos, self->photo_key) : NULL;

  return places != NULL
         && bl_bench_places_find (places, BL_FAR_TEST_POINT, point->id, point->photo, point->x, point->y, at, NULL);
}

/* Brings the point in hand into view. */
void
bl_bench_view_reveal (BlBenchPage *self)
{
  double at[2];

  if (place_of (self, bl_bench_view_point (self), at))
    bl_photo_view_reveal (BL_PHOTO_VIEW (self->photo), at[0], at[1]);
}

/* --- the photo of the probe view: close to the point it shows --- */

static void
mark_probe (BlBenchPage *self, BlPhotoView *photo, const char *key)
{
  GPtrArray *items
    = bl_bench_photos_items (self->photos, key, bl_probe_view_get_shown (BL_PROBE_VIEW (self->probe)));
  GPtrArray *outlines = bl_bench_photos_outlines (self->photos, key);

  for (guint i = 0; i < items->len; i++)
    {
      BlPhotoItem *item = g_ptr_array_index (items, i);
      item->quiet = item->kind != BL_PHOTO_BLACK;
    }
  for (guint i = outlines->len; i > 0; i--)
    {
      BlPhotoOutline *outline = g_ptr_array_index (outlines, i - 1);
      if (outline->kind == BL_PHOTO_LIKELY)
        g_clear_pointer (&outline->name, g_free);
      else
        g_ptr_array_remove_index (outlines, i - 1);
    }
  bl_photo_view_set_items (photo, items);
  bl_photo_view_set_outlines (photo, outlines);
}

static gboolean
close_up_later (GtkWidget *widget, GdkFrameClock *clock, gpointer data)
{
  BlBenchPage *self = data;
  const BlViewport *viewport = bl_photo_view_get_viewport (BL_PHOTO_VIEW (widget));
  BlMeasurementItem *shown = self->bench != NULL ? bl_probe_view_get_shown (BL_PROBE_VIEW (self->probe)) : NULL;
  const BlMeasurement *measurement = shown != NULL ? bl_measurement_item_get_measurement (shown) : NULL;
  const BlTestPoint *point = measurement != NULL && measurement->at != NULL
                               ? bl_board_test_point (bl_bench_get_board (self->bench), measurement->at)
                               : NULL;
  double at[2] = { point != NULL ? point->x : NAN, point != NULL ? point->y : NAN };

  if (viewport->view_w <= 0 && bl_bench_page_in_probe (self))
    return G_SOURCE_CONTINUE;
  if (point != NULL && viewport->image_w > 0 && (place_of (self, point, at) || !isnan (at[0])))
    /* A fifth of the photo's height fills the pane: some two centimetres round the point. */
    bl_photo_view_close_up (BL_PHOTO_VIEW (widget), at[0], at[1], viewport->view_h / (viewport->image_h * 0.3));
  return G_SOURCE_REMOVE;
}

void
bl_bench_view_update_probe (BlBenchPage *self)
{
  BlPhotoView *photo = bl_probe_view_get_photo (BL_PROBE_VIEW (self->probe));
  BlMeasurementItem *shown = self->bench != NULL ? bl_probe_view_get_shown (BL_PROBE_VIEW (self->probe)) : NULL;
  const BlMeasurement *measurement = shown != NULL ? bl_measurement_item_get_measurement (shown) : NULL;
  const BlTestPoint *point = measurement != NULL && measurement->at != NULL
                               ? bl_board_test_point (bl_bench_get_board (self->bench), measurement->at)
                               : NULL;
  const char *key = point != NULL && point->photo != NULL ? point->photo : self->photo_key, *message = NULL;
  double at[2];

  if (self->photos == NULL || !bl_bench_page_in_probe (self))
    return;
  /* The board on the table rather than the edition's, where the point is known on its photo. */
  if (place_of (self, point, at))
    key = self->photo_key;
  bl_photo_view_set_surface (photo, key != NULL ? bl_bench_photos_surface (self->photos, key, &message) : NULL,
                             message);
  mark_probe (self, photo, key);
  bl_photo_view_describe (photo, point != NULL ? point->id : _ ("Photo"));
  gtk_widget_add_tick_callback (GTK_WIDGET (photo), close_up_later, self, NULL);
}

static void
show_surfaces (BlBenchPage *self)
{
  const char *message = _ ("This board has no photo. Ctrl I adds one to the job.");
  BlPhotoSurface *surface = NULL;

  if (self->photo_key != NULL)
    surface = bl_bench_photos_surface (self->photos, self->photo_key, &message);
  bl_photo_view_set_surface (BL_PHOTO_VIEW (self->photo), surface, message);
  gtk_widget_set_visible (self->twin, self->twin_key != NULL);
  if (self->twin_key != NULL)
    {
      surface = bl_bench_photos_surface (self->photos, self->twin_key, &message);
      bl_photo_view_set_surface (BL_PHOTO_VIEW (self->twin), surface, message);
    }
  bl_bench_wiring_show (self);
}

/* The board without the table it lies on: the box of all outlines and points, photo px. */
static gboolean
board_box (BlBenchPage *self, double box[4])
{
  g_autoptr (GPtrArray) outlines = bl_bench_photos_outlines (self->photos, self->photo_key);
  g_autoptr (GPtrArray) items = bl_bench_photos_items (self->photos, self->photo_key, NULL);

  box[0] = box[1] = INFINITY;
  box[2] = box[3] = -INFINITY;
  for (guint i = 0; i < outlines->len; i++)
    {
      GArray *points = ((BlPhotoOutline *) g_ptr_array_index (outlines, i))->points;
      for (guint k = 0; k < points->len; k++)
        {
          box[k % 2] = MIN (box[k % 2], g_array_index (points, double, k));
          box[2 + k % 2] = MAX (box[2 + k % 2], g_array_index (points, double, k));
        }
    }
  for (guint i = 0; i < items->len; i++)
    {
      const BlPhotoItem *item = g_ptr_array_index (items, i);
      box[0] = MIN (box[0], item->x);
      box[1] = MIN (box[1], item->y);
      box[2] = MAX (box[2], item->x);
      box[3] = MAX (box[3], item->y);
    }
  return outlines->len > 0 && box[2] > box[0] && box[3] > box[1];
}

/* The board as large as it goes; where that is shown already, the whole photo. */
void
bl_bench_view_frame (BlBenchPage *self, BlPhotoView *photo)
{
  const BlViewport *viewport = bl_photo_view_get_viewport (photo);
  double box[4], x = viewport->x, y = viewport->y, zoom = viewport->zoom;

  if (!board_box (self, box))
    {
      bl_photo_view_fit (photo);
      return;
    }
  bl_photo_view_frame (photo, box[0], box[1], box[2], box[3]);
  if (fabs (x - viewport->x) < 1 && fabs (y - viewport->y) < 1 && fabs (zoom - viewport->zoom) < 1e-6)
    bl_photo_view_fit (photo);
}

static gboolean
frame_later (GtkWidget *widget, GdkFrameClock *clock, gpointer data)
{
  BlBenchPage *self = data;

  if (bl_photo_view_get_viewport (BL_PHOTO_VIEW (widget))->view_w <= 0)
    return G_SOURCE_CONTINUE;
  if (self->photos != NULL)
    {
      if (bl_photo_view_get_viewport (BL_PHOTO_VIEW (widget))->fitted)
        bl_bench_view_frame (self, BL_PHOTO_VIEW (widget));
      bl_bench_view_reveal (self);
      bl_bench_fly_arrive (self);
    }
  return G_SOURCE_REMOVE;
}

/* A photo is there: begin with the board, once the pane has its size. */
static void
begin_photo (BlBenchPage *self)
{
  show_surfaces (self);
  bl_bench_view_show_marks (self);
  if (bl_photo_view_get_surface (BL_PHOTO_VIEW (self->photo)) != NULL)
    gtk_widget_add_tick_callback (self->photo, frame_later, self, NULL);
  else
    bl_bench_fly_arrive (self); /* nowhere, where the photo cannot be opened */
  bl_bench_view_update_probe (self);
}

void
bl_bench_view_loaded (BlBenchPage *self)
{
  begin_photo (self);
}

static void
segment_toggled (GtkToggleButton *button, BlBenchPage *self)
{
  const char *key = g_object_get_data (G_OBJECT (button), "key");

  if (gtk_toggle_button_get_active (button) && g_strcmp0 (key, self->photo_key) != 0)
    {
      bl_bench_page_show_photo (self, key);
      bl_bench_page_focus (self);
    }
}

static void
fill_segments (BlBenchPage *self)
{
  GPtrArray *photos = bl_bench_photos_list (self->photos);
  GtkToggleButton *first = NULL;

  bl_widget_clear (self->segments);
  for (guint i = 0; i < bl_len (photos); i++)
    {
      const BlBenchPhoto *photo = bl_at (photos, i);
      GtkWidget *button = gtk_toggle_button_new_with_label (photo->title);
      gtk_widget_add_css_class (button, "segment");
      gtk_widget_set_focus_on_click (button, FALSE);
      g_object_set_data_full (G_OBJECT (button), "key", g_strdup (photo->key), g_free);
      if (first == NULL)
        first = GTK_TOGGLE_BUTTON (button);
      else
        gtk_toggle_button_set_group (GTK_TOGGLE_BUTTON (button), first);
      gtk_toggle_button_set_active (GTK_TOGGLE_BUTTON (button), g_strcmp0 (photo->key, self->photo_key) == 0);
      g_signal_connect (button, "toggled", G_CALLBACK (segment_toggled), self);
      gtk_box_append (GTK_BOX (self->segments), button);
    }
  if (bl_len (photos) > 1)
    {
      GtkWidget *cap = bl_key_cap (_ ("F3"));
      gtk_widget_set_margin_start (cap, 6);
      gtk_widget_set_tooltip_text (cap, _ ("the next one"));
      gtk_box_append (GTK_BOX (self->segments), cap);
      if (bl_bench_get_equipment (self->bench) == NULL)
        return;
      cap = bl_key_cap (_ ("Ctrl E"));
      gtk_widget_set_margin_start (cap, 4);
      gtk_widget_set_tooltip_text (cap, _ ("the drawing, or the photo"));
      gtk_box_append (GTK_BOX (self->segments), cap);
    }
}

void
bl_bench_page_show_photo (BlBenchPage *self, const char *key)
{
  g_autofree char *kept = g_strdup (key);

  g_free (self->photo_key);
  self->photo_key = g_steal_pointer (&kept);
  if (g_strcmp0 (self->fly_key, self->photo_key) != 0)
    g_clear_pointer (&self->fly_key, g_free); /* another photo is wanted now */
  bl_bench_register_photo_changed (self);
  fill_segments (self);
  begin_photo (self);
}

void
bl_bench_page_show_twin (BlBenchPage *self, const char *key)
{
  g_autofree char *kept = g_strdup (key);

  g_free (self->twin_key);
  self->twin_key = g_steal_pointer (&kept);
  bl_bench_photos_set_twin (self->photos, self->twin_key);
  show_surfaces (self);
  bl_bench_view_show_marks (self);
}

/* --- sections --- */

/* Pressing a section goes to its next unread measurement, or to its first. */
static void
section_pressed (GtkButton *button, BlBenchPage *self)
{
  const char *id = g_object_get_data (G_OBJECT (button), "section");
  GListModel *model = bl_bench_get_measurements (self->bench);
  g_autoptr (BlMeasurementItem) first = NULL;

  for (guint i = 0; i < g_list_model_get_n_items (model); i++)
    {
      g_autoptr (BlMeasurementItem) item = g_list_model_get_item (model, i);
      if (g_strcmp0 (bl_measurement_item_get_section (item), id) != 0)
        continue;
      if (first == NULL)
        first = g_object_ref (item);
      if (bl_measurement_item_get_record (item) == NULL || bl_measurement_item_is_old (item))
        {
          g_set_object (&first, item);
          break;
        }
    }
  if (first != NULL)
    bl_bench_select (self->bench, first);
  bl_bench_page_focus (self);
}

static void
count_section (BlBenchPage *self, const char *section, guint *read, guint *all)
{
  GListModel *model = bl_bench_get_measurements (self->bench);

  *read = *all = 0;
  for (guint i = 0; i < g_list_model_get_n_items (model); i++)
    {
      g_autoptr (BlMeasurementItem) item = g_list_model_get_item (model, i);
      if (g_strcmp0 (bl_measurement_item_get_section (item), section) != 0)
        continue;
      (*all)++;
      *read += bl_measurement_item_get_record (item) != NULL && !bl_measurement_item_is_old (item);
    }
}

static GtkWidget *
nth_section (BlBenchPage *self, guint place)
{
  GtkWidget *child = gtk_widget_get_next_sibling (self->segments);

  for (; child != NULL && place > 0; place--)
    child = gtk_widget_get_next_sibling (child);
  return child;
}

/* The button at this place of the strip; buttons stay, so that one that has the focus keeps it. */
static GtkWidget *
section_button (BlBenchPage *self, guint place)
{
  GtkWidget *button = nth_section (self, place), *label;

  if (button != NULL)
    return button;
  button = gtk_button_new ();
  label = bl_label ("", NULL, 0);
  gtk_label_set_single_line_mode (GTK_LABEL (label), TRUE);
  gtk_label_set_ellipsize (GTK_LABEL (label), PANGO_ELLIPSIZE_END);
  gtk_button_set_child (GTK_BUTTON (button), label);
  gtk_widget_add_css_class (button, "section-word");
  gtk_widget_set_focus_on_click (button, FALSE);
  g_signal_connect (button, "clicked", G_CALLBACK (section_pressed), self);
  bl_wrap_box_append (BL_WRAP_BOX (self->strip), button);
  return button;
}

static void
show_section (BlBenchPage *self, guint place, const char *section, gboolean in_hand, guint read, guint all)
{
  GtkWidget *button = section_button (self, place);
  GtkLabel *label = GTK_LABEL (gtk_button_get_child (GTK_BUTTON (button)));
  g_autofree char *in_box = bl_bench_section_title (self->bench, section);
  /* Which box it is stands on the photos beside. */
  const char *role = bl_bench_role_of (self->bench, section);
  const char *title = role != NULL && g_str_has_prefix (in_box, role) && strstr (in_box, ": ") != NULL
                        ? strstr (in_box, ": ") + 2
                        : in_box;
  g_autofree char *full = g_strdup_printf (_ ("%s  %u of %u"), title, read, all);

  /* Names are what one navigates by, so they are whole; the count is that of the one in hand. */
  gtk_label_set_label (label, in_hand ? full : title);
  gtk_widget_set_tooltip_text (button, full);
  bl_widget_name (button, full);
  g_object_set_data_full (G_OBJECT (button), "section", g_strdup (section), g_free);
  if (in_hand)
    gtk_widget_add_css_class (button, "here");
  else
    gtk_widget_remove_css_class (button, "here");
}

/* Sections; the one in hand is underlined and says how many of its measurements are read. Of an equipment those of the
 * box in hand: the line of places leads to the others. */
void
bl_bench_view_fill_sections (BlBenchPage *self)
{
  const BlBoard *board = bl_bench_get_board (self->bench);
  BlMeasurementItem *current = bl_bench_get_current (self->bench);
  const char *here = current != NULL ? bl_measurement_item_get_section (current) : NULL;
  const char *box = current != NULL ? bl_bench_role_of (self->bench, bl_measurement_item_get_id (current)) : NULL;
  guint shown = 0, read, all;

  for (guint s = 0; s < bl_len (board->sections); s++)
    {
      const BlSection *section = bl_at (board->sections, s);
      count_section (self, section->id, &read, &all);
      if (all > 0 && g_strcmp0 (bl_bench_role_of (self->bench, section->id), box) == 0)
        show_section (self, shown++, section->id, g_strcmp0 (here, section->id) == 0, read, all);
    }
  if (bl_bench_get_equipment (self->bench) != NULL)
    {
      g_autofree char *rest = box != NULL ? g_strconcat (box, "/", NULL) : NULL;
      count_section (self, rest, &read, &all);
      if (all > 0)
        show_section (self, shown++, rest, g_strcmp0 (here, rest) == 0, read, all);
    }
  for (GtkWidget *child = nth_section (self, shown), *next; child != NULL; child = next)
    {
      next = gtk_widget_get_next_sibling (child);
      gtk_widget_unparent (child);
    }
}

/* --- pressing the photo --- */

static void
select_point (BlBenchPage *self, const char *point)
{
  GListModel *model = bl_bench_get_measurements (self->bench);
  BlMeasurementItem *current = bl_bench_get_current (self->bench);
  g_autoptr (BlMeasurementItem) first = NULL;
  gboolean passed = FALSE;

  /* Pressing a point again goes on to its next measurement. */
  for (guint i = 0; i < g_list_model_get_n_items (model); i++)
    {
      g_autoptr (BlMeasurementItem) item = g_list_model_get_item (model, i);
      if (g_strcmp0 (bl_measurement_item_get_measurement (item)->at, point) != 0)
        continue;
      if (passed)
        {
          bl_bench_select (self->bench, item);
          return;
        }
      if (first == NULL)
        first = g_object_ref (item);
      passed = item == current;
    }
  if (first != NULL)
    bl_bench_select (self->bench, first);
}

void
bl_bench_view_point_activated (BlPhotoView *view, int kind, const char *id, BlBenchPage *self)
{
  if (kind == BL_PHOTO_COMPONENT && bl_bench_tree_show (self, id))
    return;
  if (kind == BL_PHOTO_COMPONENT && self->use == BL_BENCH_FOR_JOBS)
    {
      bl_bench_choices_part (self, id);
      return;
    }
  if (kind == BL_PHOTO_POINT || kind == BL_PHOTO_BLACK)
    {
      select_point (self, id);
      bl_bench_tree_show_point (self);
    }
  bl_bench_page_focus (self);
}

/* A point where nothing was documented: it is there at once, with one measurement, in hand. */
static void
add_point (BlBenchPage *self, double x, double y)
{
  BlEdition *edition = bl_bench_get_edition (self->bench);
  const BlBoard *board = bl_bench_get_board (self->bench);
  const BlState *state = bl_bench_get_state (self->bench);
  g_autofree char *state_id = NULL, *measurement = NULL;
  GError *error = NULL;

  if (state == NULL && bl_len (board->states) > 0)
    state = bl_at (board->states, bl_len (board->states) - 1);
  state_id = g_strdup (state != NULL ? state->id : NULL);
  measurement = bl_edition_add_read_point (edition, self->photo_key, x, y, self->kind, state_id, &error);
  if (!bl_bench_page_check (self, measurement != NULL, _ ("The point was not added"), &error))
    return;
  BlMeasurementItem *item = bl_bench_find (self->bench, measurement);
  if (item != NULL)
    bl_bench_select (self->bench, item);
  bl_bench_page_refresh (self);
}

void
bl_bench_view_pressed (BlPhotoView *view, double x, double y, BlBenchPage *self)
{
  GError *error = NULL;

  if (self->pending_mark == NULL && bl_bench_register_press (self, x, y))
    return;
  if (self->pending_mark != NULL && self->photo_key != NULL)
    {
      g_autofree char *mark = g_steal_pointer (&self->pending_mark);
      bl_bench_page_check (self, bl_bench_mark (self->bench, mark, self->photo_key, x, y, &error), _ ("Mark"), &error);
    }
  else if (self->provisional && self->photo_key != NULL && strchr (self->photo_key, ':') == NULL)
    add_point (self, x, y);
  bl_bench_page_focus (self);
}
