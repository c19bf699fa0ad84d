/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A board's photos for a case that is gone through: sections, what was read so far, the point in hand and the likeliest
 * stage. Photos are decoded off the thread that draws, once each, one to four of them. */
#include "config.h"

#include "bl-case-photo.h"

#include <glib/gi18n-lib.h>
#include <math.h>
#include <string.h>

#include "bl-library-equipment.h"
#include "bl-photo-loader.h"
#include "bl-photo-view.h"
#include "bl-style.h"

struct _BlCasePhoto
{
  GtkWidget parent_instance;

  BlLibrary *library; /* not owned */
  BlPracticeSubject copy;
  BlBoard *board;
  BlPhotoLoader *loader;
  GtkWidget *view;
  char *photo;             /* shown; NULL: none */
  GHashTable *read;        /* of the last show */
  GHashTable *offered;     /* measurements to choose from; NULL: none */
  char *in_hand, *likely, *likely_words;
  gboolean framed;
};

G_DEFINE_FINAL_TYPE (BlCasePhoto, bl_case_photo, GTK_TYPE_WIDGET)

/* --- loading --- */

static void update (BlCasePhoto *self);

static void
loaded (BlCasePhoto *self)
{
  if (self->view != NULL)
    update (self);
}

/* The board a photo of a joined document is of, and its id there. */
static gint64
board_of (BlCasePhoto *self, const char *id, const char **local)
{
  const char *slash = strchr (id, '/');

  *local = id;
  if (self->copy.equipment == 0 || slash == NULL)
    return self->copy.board;
  g_autoptr (GPtrArray) boards = bl_library_equipment_boards (self->library, self->copy.equipment, NULL);
  g_autofree char *role = g_strndup (id, (gsize) (slash - id));
  *local = slash + 1;
  for (guint i = 0; i < bl_len (boards); i++)
    {
      const BlEquipmentBoard *one = bl_at (boards, i);
      if (g_strcmp0 (one->role, role) == 0)
        return one->board;
    }
  return 0;
}

static GBytes *
read_image (const char *id, gpointer data, GError **error)
{
  BlCasePhoto *self = data;
  const char *local;
  gint64 board = board_of (self, id, &local);

  if (board != 0)
    return bl_library_get_board_photo (self->library, board, local, NULL, error);
  g_set_error_literal (error, G_IO_ERROR, G_IO_ERROR_NOT_FOUND, _ ("No photo"));
  return NULL;
}

/* --- what stands on it --- */

static void
add_outlines (GPtrArray *outlines, const char *photo, const GPtrArray *from, BlPhotoOutlineKind kind, const char *id,
              const char *name)
{
  for (guint i = 0; i < bl_len (from); i++)
    {
      const BlOutline *outline = bl_at (from, i);
      if (g_strcmp0 (outline->photo, photo) == 0 && outline->points != NULL && outline->points->len >= 6)
        g_ptr_array_add (outlines, bl_photo_outline_new (kind, id, name, outline->points));
    }
}

static GPtrArray *
outlines_of (BlCasePhoto *self)
{
  GPtrArray *outlines = g_ptr_array_new_with_free_func ((GDestroyNotify) bl_photo_outline_free);
  const BlStage *likely = self->likely != NULL ? bl_board_stage (self->board, self->likely) : NULL;

  for (guint i = 0; i < bl_len (self->board->sections); i++)
    {
      const BlSection *section = bl_at (self->board->sections, i);
      add_outlines (outlines, self->photo, section->outlines, BL_PHOTO_SECTION, section->id,
                    section->title != NULL ? section->title : section->id);
    }
  if (likely != NULL)
    {
      guint before = outlines->len;
      const BlSection *section = bl_board_section (self->board, likely->section);
      add_outlines (outlines, self->photo, likely->outlines, BL_PHOTO_LIKELY, likely->id, self->likely_words);
      if (outlines->len == before && section != NULL)
        add_outlines (outlines, self->photo, section->outlines, BL_PHOTO_LIKELY, likely->id, self->likely_words);
    }
  return outlines;
}

static const BlMeasurement *
measurement_in_hand (BlCasePhoto *self)
{
  return self->in_hand != NULL ? bl_board_measurement (self->board, self->in_hand) : NULL;
}

/* The weightiest verdict of what was read there: what deviates before what is in band. */
static int
shape_at (BlCasePhoto *self, const char *point)
{
  int shape = -1;

  for (guint i = 0; self->read != NULL && i < bl_len (self->board->measurements); i++)
    {
      const BlMeasurement *measurement = bl_at (self->board->measurements, i);
      gpointer found;
      if (g_strcmp0 (measurement->at, point) == 0
          && g_hash_table_lookup_extended (self->read, measurement->id, NULL, &found)
          && (shape < 0 || shape == BL_SHAPE_IN_BAND))
        shape = GPOINTER_TO_INT (found);
    }
  return shape;
}

static gboolean
is_offered (BlCasePhoto *self, const char *point)
{
  for (guint i = 0; self->offered != NULL && i < bl_len (self->board->measurements); i++)
    {
      const BlMeasurement *measurement = bl_at (self->board->measurements, i);
      if (g_strcmp0 (measurement->at, point) == 0 && g_hash_table_contains (self->offered, measurement->id))
        return TRUE;
    }
  return FALSE;
}

static BlPhotoItem *
add_item (GPtrArray *items, BlPhotoItemKind kind, const char *id, double x, double y, int shape, gboolean in_hand)
{
  BlPhotoItem *item = bl_photo_item_new (kind, id, id, x, y);

  item->shape = shape;
  item->in_hand = in_hand;
  item->quiet = !in_hand && shape < 0 && kind == BL_PHOTO_POINT;
  g_ptr_array_add (items, item);
  return item;
}

static GPtrArray *
items_of (BlCasePhoto *self)
{
  GPtrArray *items = g_ptr_array_new_with_free_func ((GDestroyNotify) bl_photo_item_free);
  const BlMeasurement *in_hand = measurement_in_hand (self);
  const BlComponent *part = self->in_hand != NULL ? bl_board_component (self->board, self->in_hand) : NULL;

  for (guint pass = 0; pass < 2; pass++) /* the point in hand lies on top */
    for (guint i = 0; i < bl_len (self->board->test_points); i++)
      {
        const BlTestPoint *point = bl_at (self->board->test_points, i);
        gboolean mine = in_hand != NULL && g_strcmp0 (in_hand->at, point->id) == 0;
        if (g_strcmp0 (point->photo, self->photo) != 0 || isnan (point->x) || mine != (pass == 1))
          continue;
        BlPhotoItem *item
          = add_item (items, BL_PHOTO_POINT, point->id, point->x, point->y, shape_at (self, point->id), mine);
        item->quiet = item->quiet && !is_offered (self, point->id);
        if (in_hand != NULL && g_strcmp0 (in_hand->black, point->id) == 0)
          add_item (items, BL_PHOTO_BLACK, point->id, point->x, point->y, -1, FALSE);
      }
  if (part != NULL && g_strcmp0 (part->photo, self->photo) == 0 && !isnan (part->x))
    add_item (items, BL_PHOTO_COMPONENT, part->id, part->x, part->y, -1, TRUE);
  return items;
}

/* --- showing --- */

/* The photo the point or part in hand is on; else the one shown, else the first. */
static const char *
wanted (BlCasePhoto *self, double at[2])
{
  const BlMeasurement *measurement = measurement_in_hand (self);
  const BlTestPoint *point
    = measurement != NULL && measurement->at != NULL ? bl_board_test_point (self->board, measurement->at) : NULL;
  const BlComponent *part = self->in_hand != NULL ? bl_board_component (self->board, self->in_hand) : NULL;

  at[0] = point != NULL ? point->x : part != NULL ? part->x : NAN;
  at[1] = point != NULL ? point->y : part != NULL ? part->y : NAN;
  if (point != NULL && point->photo != NULL)
    return point->photo;
  if (part != NULL && part->photo != NULL)
    return part->photo;
  if (self->photo != NULL)
    return self->photo;
  return bl_len (self->board->photos) > 0 ? ((BlPhoto *) bl_at (self->board->photos, 0))->id : NULL;
}

/* Once the pane has its size: the board without the table it lies on. */
static gboolean
frame_later (GtkWidget *widget, GdkFrameClock *clock, gpointer data)
{
  BlCasePhoto *self = data;
  double box[4] = { INFINITY, INFINITY, -INFINITY, -INFINITY };

  if (self->view == NULL || bl_photo_view_get_viewport (BL_PHOTO_VIEW (widget))->view_w <= 0)
    return self->view != NULL;
  g_autoptr (GPtrArray) outlines = outlines_of (self);
  for (guint i = 0; i < outlines->len; i++)
    {
      GArray *points = ((BlPhotoOutline *) g_ptr_array_index (outlines, i))->points;
      for (guint k = 0; k < points->len; k++)
        {
          box[k % 2] = MIN (box[k % 2], g_array_index (points, double, k));
          box[2 + k % 2] = MAX (box[2 + k % 2], g_array_index (points, double, k));
        }
    }
  if (box[2] > box[0])
    bl_photo_view_frame (BL_PHOTO_VIEW (widget), box[0], box[1], box[2], box[3]);
  return G_SOURCE_REMOVE;
}

static void
update (BlCasePhoto *self)
{
  BlPhotoView *view = BL_PHOTO_VIEW (self->view);
  const char *message = _ ("This board has no photo.");
  double at[2];
  const char *id = wanted (self, at);
  gboolean other = g_strcmp0 (id, self->photo) != 0;

  if (other)
    {
      g_free (self->photo);
      self->photo = g_strdup (id);
      self->framed = FALSE;
    }
  BlPhotoSurface *surface = self->photo != NULL ? bl_photo_loader_get (self->loader, self->photo, NULL, &message) : NULL;
  bl_photo_view_set_surface (view, surface, message);
  bl_photo_view_set_outlines (view, outlines_of (self));
  bl_photo_view_set_items (view, items_of (self));
  if (surface != NULL && !self->framed)
    {
      self->framed = TRUE;
      gtk_widget_add_tick_callback (self->view, frame_later, self, NULL);
    }
  else if (surface != NULL && !isnan (at[0]))
    bl_photo_view_reveal (view, at[0], at[1]);
}

void
bl_case_photo_offer (BlCasePhoto *self, GHashTable *offered)
{
  g_return_if_fail (BL_IS_CASE_PHOTO (self));
  g_clear_pointer (&self->offered, g_hash_table_unref);
  self->offered = offered != NULL ? g_hash_table_ref (offered) : NULL;
}

void
bl_case_photo_show (BlCasePhoto *self, GHashTable *read, const char *in_hand, const char *likely,
                    const char *likely_words)
{
  g_return_if_fail (BL_IS_CASE_PHOTO (self));
  g_autofree char *name = NULL;

  g_clear_pointer (&self->read, g_hash_table_unref);
  self->read = read != NULL ? g_hash_table_ref (read) : NULL;
  g_free (self->in_hand);
  self->in_hand = g_strdup (in_hand);
  g_free (self->likely);
  self->likely = g_strdup (likely);
  g_free (self->likely_words);
  self->likely_words = g_strdup (likely_words);
  update (self);
  name = likely_words != NULL ? g_strdup_printf (_ ("Photo, %s"), likely_words) : g_strdup (_ ("Photo"));
  bl_photo_view_describe (BL_PHOTO_VIEW (self->view), name);
}

/* --- object --- */

static void
bl_case_photo_dispose (GObject *object)
{
  BlCasePhoto *self = BL_CASE_PHOTO (object);

  g_clear_pointer (&self->view, gtk_widget_unparent);
  G_OBJECT_CLASS (bl_case_photo_parent_class)->dispose (object);
}

static void
bl_case_photo_finalize (GObject *object)
{
  BlCasePhoto *self = BL_CASE_PHOTO (object);

  g_clear_pointer (&self->loader, bl_photo_loader_close);
  g_clear_pointer (&self->read, g_hash_table_unref);
  g_clear_pointer (&self->offered, g_hash_table_unref);
  g_clear_pointer (&self->board, bl_board_free);
  g_free (self->photo);
  g_free (self->in_hand);
  g_free (self->likely);
  g_free (self->likely_words);
  G_OBJECT_CLASS (bl_case_photo_parent_class)->finalize (object);
}

static void
bl_case_photo_class_init (BlCasePhotoClass *klass)
{
  G_OBJECT_CLASS (klass)->dispose = bl_case_photo_dispose;
  G_OBJECT_CLASS (klass)->finalize = bl_case_photo_finalize;
  gtk_widget_class_set_layout_manager_type (GTK_WIDGET_CLASS (klass), GTK_TYPE_BIN_LAYOUT);
}

static void
bl_case_photo_init (BlCasePhoto *self)
{
  self->loader = bl_photo_loader_new (read_image, self);
  g_signal_connect_object (self->loader, "loaded", G_CALLBACK (loaded), self, G_CONNECT_SWAPPED);
  self->view = bl_photo_view_new ();
  gtk_widget_set_parent (self->view, GTK_WIDGET (self));
}

GtkWidget *
bl_case_photo_new (BlLibrary *library, BlPracticeSubject copy, const BlBoard *board)
{
  g_return_val_if_fail (library != NULL && board != NULL, NULL);
  BlCasePhoto *self = g_object_new (BL_TYPE_CASE_PHOTO, NULL);

  self->library = library;
  self->copy = copy;
  self->board = bl_board_copy (board);
  return GTK_WIDGET (self);
}
