/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Names on the crowded photos of the demo's boards, at several zooms: no name covers what it points at, and
 * one that may be left out covers nothing at all. Usage: test-photo-labels LIBRARY */
#include "config.h"

#include "fixture.h"

#include <glib/gstdio.h>
#include <math.h>

#include "bl-library.h"
#include "bl-photo-paint.h"

static const char *demo;

/* Times the fit. */
static const double zooms[] = { 1, 1.3, 2, 3.5, 6 };

/* Every third point is read, one is in hand, one is where the black lead is: as in a job. */
static GPtrArray *
items_of (const BlBoard *board, const char *photo, gboolean components)
{
  GPtrArray *items = g_ptr_array_new_with_free_func ((GDestroyNotify) bl_photo_item_free);

  for (guint i = 0; i < bl_len (board->components); i++)
    {
      const BlComponent *component = bl_at (board->components, i);
      if (components && g_strcmp0 (component->photo, photo) == 0 && !isnan (component->x))
        g_ptr_array_add (items, bl_photo_item_new (BL_PHOTO_COMPONENT, component->id, component->id, component->x,
                                                   component->y));
    }
  for (guint i = 0; i < bl_len (board->test_points); i++)
    {
      const BlTestPoint *point = bl_at (board->test_points, i);
      BlPhotoItem *item;
      if (g_strcmp0 (point->photo, photo) != 0 || isnan (point->x))
        continue;
      item = bl_photo_item_new (i == 1 ? BL_PHOTO_BLACK : BL_PHOTO_POINT, point->id, point->id, point->x, point->y);
      item->shape = i % 3 == 0 ? BL_SHAPE_IN_BAND : -1;
      item->in_hand = i == 0;
      g_ptr_array_add (items, item);
    }
  return items;
}

static GPtrArray *
outlines_of (const BlBoard *board, const char *photo)
{
  GPtrArray *outlines = g_ptr_array_new_with_free_func ((GDestroyNotify) bl_photo_outline_free);

  for (guint i = 0; i < bl_len (board->sections); i++)
    {
      const BlSection *section = bl_at (board->sections, i);
      for (guint k = 0; k < bl_len (section->outlines); k++)
        {
          const BlOutline *outline = bl_at (section->outlines, k);
          if (g_strcmp0 (outline->photo, photo) == 0 && outline->points != NULL)
            g_ptr_array_add (outlines, bl_photo_outline_new (BL_PHOTO_SECTION, section->id, section->title,
                                                             outline->points));
        }
    }
  return outlines;
}

static BlLabelBox
mark_of (const BlLabel *label)
{
  return (BlLabelBox){ label->x - label->r, label->y - label->r, 2 * label->r, 2 * label->r };
}

/* Returns the number of names placed. */
static guint
check_names (const BlPhotoPaint *paint, GArray *labels)
{
  guint first = paint->outlines->len, placed = 0;

  for (guint i = first; i < labels->len; i++)
    {
      const BlLabel *label = &g_array_index (labels, BlLabel, i);
      if (isnan (label->x) || label->box.w <= 0)
        continue;
      const BlLabelBox own = mark_of (label);
      placed++;
      g_assert_cmpfloat (bl_label_overlap (&label->box, &own), ==, 0);
      for (guint k = 0; !label->needed && k < labels->len; k++)
        {
          const BlLabel *other = &g_array_index (labels, BlLabel, k);
          const BlLabelBox mark = mark_of (other);
          if (k == i)
            continue;
          g_assert_cmpfloat (bl_label_overlap (&label->box, &other->box), ==, 0);
          if (k >= first && !isnan (other->x))
            g_assert_cmpfloat (bl_label_overlap (&label->box, &mark), ==, 0);
        }
    }
  return placed;
}

/* The middle of the photo, a corner, and a point in the middle of the pane, at each zoom. */
static guint
check_view (BlPhotoPaint *paint, BlViewport *viewport, const BlPhotoItem *point)
{
  const double at[][2] = { { viewport->image_w / 2, viewport->image_h / 2 }, { 0, 0 }, { point->x, point->y } };
  guint placed = 0;

  for (guint z = 0; z < G_N_ELEMENTS (zooms); z++)
    for (guint i = 0; i < G_N_ELEMENTS (at); i++)
      {
        BlViewport now = *viewport;
        bl_viewport_zoom_at (&now, zooms[z], 0, 0);
        bl_viewport_centre_on (&now, at[i][0], at[i][1], &now.x, &now.y);
        paint->viewport = &now;
        g_autoptr (GArray) labels = bl_photo_names_place (paint);
        placed += check_names (paint, labels);
      }
  return placed;
}

static guint
check_photo (const BlBoard *board, const char *photo, double width, double height, gboolean components)
{
  g_autoptr (GPtrArray) items = items_of (board, photo, components);
  g_autoptr (GPtrArray) outlines = outlines_of (board, photo);
  g_autoptr (GHashTable) layouts = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, g_object_unref);
  GtkWidget *view = g_object_ref_sink (bl_photo_view_new ());
  BlViewport viewport;
  guint placed = 0;

  bl_viewport_init (&viewport);
  bl_viewport_set_view (&viewport, width, height);
  bl_viewport_set_image (&viewport, 4000, 3000);
  if (items->len > 0)
    {
      BlPhotoPaint paint = { .widget = view, .items = items, .outlines = outlines, .layouts = layouts, .scale = 1,
                             .pointer_x = NAN, .pointer_y = NAN,
                             .reserved = { width - 200, height - 50, 200, 50 } };
      placed = check_view (&paint, &viewport, g_ptr_array_index (items, items->len / 2));
    }
  g_object_unref (view);
  return placed;
}

static void
test_demo (void)
{
  g_autofree char *folder = g_dir_make_tmp ("labels-XXXXXX", NULL);
  g_autofree char *path = g_build_filename (folder, "demo.benchlore-library", NULL);
  g_autofree char *contents = NULL;
  g_autoptr (GError) error = NULL;
  gsize size;
  guint placed = 0, photos = 0;

  g_assert_true (g_file_get_contents (demo, &contents, &size, &error));
  g_assert_true (g_file_set_contents (path, contents, (gssize) size, &error));
  BlLibrary *library = bl_library_open (path, FALSE, &error);
  g_assert_no_error (error);
  g_autoptr (GPtrArray) rows = bl_library_boards (library, TRUE, &error);
  for (guint i = 0; i < bl_len (rows); i++)
    {
      g_autoptr (BlBoard) board = bl_library_load_board (library, ((BlBoardRow *) bl_at (rows, i))->id, &error);
      g_assert_no_error (error);
      for (guint p = 0; p < bl_len (board->photos); p++, photos++)
        {
          const char *photo = ((BlPhoto *) bl_at (board->photos, p))->id;
          placed += check_photo (board, photo, 604, 466, FALSE);
          placed += check_photo (board, photo, 604, 466, TRUE);
          placed += check_photo (board, photo, 1130, 900, TRUE);
        }
    }
  /* Both boards, both sides; some dozen names in each of 45 views of a side. */
  g_assert_cmpuint (photos, >=, 4);
  g_assert_cmpuint (placed, >, 2000);
  g_test_message ("%u names on %u photos", placed, photos);
  bl_library_close (library);
  g_remove (path);
  g_rmdir (folder);
}

int
main (int argc, char **argv)
{
  app_test_init (&argc, &argv);
  g_assert_cmpint (argc, >, 1);
  demo = argv[1];
  g_test_add_func ("/app/photo-labels/demo", test_demo);
  return g_test_run ();
}
