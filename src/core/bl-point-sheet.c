/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Holds what the test-point sheet is drawn from. No drawing and no library here: the sheet is filled by
 * whoever knows the edition and drawn by whoever has paper. */
#include "config.h"

#include "bl-point-sheet.h"

static void
row_free (gpointer data)
{
  BlPointRow *row = data;

  g_free (row->point);
  g_free (row->black);
  g_free (row->title);
  g_free (row->expected);
  g_free (row);
}

static void
group_free (gpointer data)
{
  BlPointGroup *group = data;

  g_free (group->heading);
  g_ptr_array_unref (group->rows);
  g_free (group);
}

static void
photo_free (gpointer data)
{
  BlPointPhoto *photo = data;

  g_free (photo->title);
  g_bytes_unref (photo->image);
  g_ptr_array_unref (photo->marks);
  g_ptr_array_unref (photo->groups);
  g_free (photo);
}

BlPointSheet *
bl_point_sheet_new (void)
{
  BlPointSheet *self = g_new0 (BlPointSheet, 1);

  self->limits = BL_SAFE_LIMITS;
  self->photos = g_ptr_array_new_with_free_func (photo_free);
  return self;
}

void
bl_point_sheet_free (BlPointSheet *self)
{
  if (self == NULL)
    return;
  g_free (self->board);
  g_free (self->date);
  g_ptr_array_unref (self->photos);
  g_free (self);
}

BlPointPhoto *
bl_point_sheet_add_photo (BlPointSheet *self, const char *title, GBytes *image)
{
  BlPointPhoto *photo = g_new0 (BlPointPhoto, 1);

  photo->title = g_strdup (title);
  photo->image = g_bytes_ref (image);
  photo->marks = g_ptr_array_new_with_free_func (g_free);
  photo->groups = g_ptr_array_new_with_free_func (group_free);
  g_ptr_array_add (self->photos, photo);
  return photo;
}

BlPointGroup *
bl_point_photo_add_group (BlPointPhoto *photo, const char *heading, gboolean live, double volts)
{
  BlPointGroup *group = g_new0 (BlPointGroup, 1);

  group->heading = g_strdup (heading);
  group->live = live;
  group->volts = volts;
  group->rows = g_ptr_array_new_with_free_func (row_free);
  g_ptr_array_add (photo->groups, group);
  return group;
}

void
bl_point_group_add_row (BlPointGroup *group, guint number, const char *point, const char *black, const char *title,
                        const char *expected)
{
  BlPointRow *row = g_new0 (BlPointRow, 1);

  row->number = number;
  row->point = g_strdup (point);
  row->black = g_strdup (black);
  row->title = g_strdup (title);
  row->expected = g_strdup (expected);
  g_ptr_array_add (group->rows, row);
}
