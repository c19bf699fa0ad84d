/* SPDX-License-Identifier: GPL-3.0-or-later */
/* From an edition to its test-point sheet: which points are on which photo, how they are numbered, what they
 * read in which board state.
 *
 * Numbers count per photo in the order of the document, so that a sheet printed anew after a point was added
 * at the end keeps its numbers. A measurement without a place stands on the first page: left out it would be
 * forgotten. */
#include "config.h"

#include "bl-point-sheet-fill.h"

#include <glib/gi18n-lib.h>
#include <math.h>

#include "bl-format.h"
#include "bl-missing.h"

static gboolean
is_placed (const BlTestPoint *point, const char *photo)
{
  return g_strcmp0 (point->photo, photo) == 0 && isfinite (point->x) && isfinite (point->y);
}

/* Number of a point on this photo; 0: it is not on it. */
static guint
number_on (const BlBoard *board, const char *photo, const char *id)
{
  guint number = 0;

  for (guint i = 0; id != NULL && i < bl_len (board->test_points); i++)
    {
      const BlTestPoint *point = bl_at (board->test_points, i);
      number += is_placed (point, photo);
      if (g_str_equal (point->id, id))
        return is_placed (point, photo) ? number : 0;
    }
  return 0;
}

static gboolean
is_measured_at (const BlBoard *board, const char *id)
{
  for (guint i = 0; i < bl_len (board->measurements); i++)
    if (g_strcmp0 (((const BlMeasurement *) bl_at (board->measurements, i))->at, id) == 0)
      return TRUE;
  return FALSE;
}

static void
add_marks (const BlBoard *board, const char *id, BlPointPhoto *photo)
{
  for (guint i = 0; i < bl_len (board->test_points); i++)
    {
      const BlTestPoint *point = bl_at (board->test_points, i);
      if (!is_placed (point, id))
        continue;
      BlPointMark *mark = g_new0 (BlPointMark, 1);
      mark->number = photo->marks->len + 1;
      mark->x = point->x;
      mark->y = point->y;
      mark->hot = g_strcmp0 (point->ground, "hot") == 0 || g_strcmp0 (point->ground, "mains") == 0;
      mark->lead = !is_measured_at (board, point->id);
      g_ptr_array_add (photo->marks, mark);
    }
}

/* Where the black probe goes. */
static char *
black_words (const BlBoard *board, const char *photo, const char *black)
{
  guint number = number_on (board, photo, black);

  return number > 0 ? g_strdup_printf ("%u", number) : g_strdup (black != NULL ? black : "");
}

/* On which page a measurement stands: the photo its point is on, the first page for those without a place. */
static gboolean
belongs (const BlBoard *board, const BlMeasurement *measurement, const char *photo, gboolean first)
{
  const BlTestPoint *point = measurement->at != NULL ? bl_board_test_point (board, measurement->at) : NULL;

  if (point == NULL || point->photo == NULL || !isfinite (point->x) || !isfinite (point->y))
    return first;
  return g_str_equal (point->photo, photo);
}

static void
add_row (const BlBoard *board, const char *photo, const BlMeasurement *measurement, BlPointGroup *group)
{
  const BlTestPoint *point = measurement->at != NULL ? bl_board_test_point (board, measurement->at) : NULL;
  const char *title = measurement->title != NULL ? measurement->title : point != NULL ? point->title : NULL;
  g_autofree char *expected = bl_format_expected (board, measurement);
  g_autofree char *black = black_words (board, photo, measurement->black);

  bl_point_group_add_row (group, number_on (board, photo, measurement->at), point != NULL ? point->id : measurement->id,
                          black, title != NULL ? title : "", expected);
}

static void
add_group (const BlBoard *board, const BlState *state, const char *id, gboolean first, BlPointPhoto *photo)
{
  BlPointGroup *group = NULL;

  for (guint i = 0; i < bl_len (board->measurements); i++)
    {
      const BlMeasurement *measurement = bl_at (board->measurements, i);
      if (g_strcmp0 (measurement->state, state->id) != 0 || !belongs (board, measurement, id, first))
        continue;
      if (group == NULL)
        {
          group = bl_point_photo_add_group (photo, state->title != NULL ? state->title : state->id, state->live != 0,
                                            state->volts);
          group->volts_ac = state->live != 0 ? bl_safe_state_volts_ac (board, state) : 0;
        }
      add_row (board, id, measurement, group);
    }
}

static void
take_voltages (BlPointSheet *self, const BlBoard *board)
{
  for (guint i = 0; i < bl_len (board->states); i++)
    {
      const BlState *state = bl_at (board->states, i);
      if (state->live == 0)
        continue;
      self->volts = MAX (self->volts, isnan (state->volts) ? INFINITY : state->volts);
      self->volts_ac = MAX (self->volts_ac, bl_safe_state_volts_ac (board, state));
    }
}

static gboolean
has_points (const BlBoard *board, const char *photo)
{
  for (guint i = 0; i < bl_len (board->test_points); i++)
    if (is_placed (bl_at (board->test_points, i), photo))
      return TRUE;
  return FALSE;
}

static gboolean
add_photo (BlPointSheet *self, BlLibrary *library, gint64 id, const BlBoard *board, const BlPhoto *photo,
           GError **error)
{
  const char *title = photo->title != NULL ? photo->title : photo->side != NULL ? photo->side : photo->id;
  g_autoptr (GBytes) image = bl_library_get_board_photo (library, id, photo->id, NULL, error);

  if (image == NULL)
    return FALSE;
  gboolean first = self->photos->len == 0;
  BlPointPhoto *page = bl_point_sheet_add_photo (self, title, image);
  add_marks (board, photo->id, page);
  for (int live = 0; live <= 1; live++) /* safe states first, as on the bench */
    for (guint i = 0; i < bl_len (board->states); i++)
      if ((((const BlState *) bl_at (board->states, i))->live != 0) == live)
        add_group (board, bl_at (board->states, i), photo->id, first, page);
  return TRUE;
}

BlPointSheet *
bl_point_sheet_fill (BlLibrary *library, gint64 id, GError **error)
{
  g_return_val_if_fail (library != NULL, NULL);
  g_autoptr (BlBoard) board = bl_library_load_board (library, id, error);
  g_autoptr (BlPointSheet) self = bl_point_sheet_new ();
  g_autoptr (GDateTime) now = g_date_time_new_now_local ();

  if (board == NULL)
    return NULL;
  self->board = bl_board_title (board->board_number, board->edition);
  self->date = g_date_time_format (now, "%Y-%m-%d");
  take_voltages (self, board);
  for (guint i = 0; i < bl_len (board->photos); i++)
    {
      const BlPhoto *photo = bl_at (board->photos, i);
      if (has_points (board, photo->id) && !add_photo (self, library, id, board, photo, error))
        return NULL;
    }
  if (self->photos->len > 0)
    return g_steal_pointer (&self);
  g_set_error (error, BL_STORE_ERROR, BL_STORE_ERROR_INVALID,
               _ ("%s: no test point is placed on a photo; a sheet of test points needs some"), self->board);
  return NULL;
}
