/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the editor says about test points and measurements: the one in hand with everything, below it
 * all of them with expected value and ruler. */
#include "config.h"

#include "bl-editor-private.h"

#include <glib/gi18n-lib.h>

#include "bl-follows-form.h"
#include "bl-limits-list.h"

#define ADD(element) add_act (element)
#define HAND_HEIGHT 196 /* px the part in hand has at least */
#define FOLLOWS_HEIGHT 318
#define GOOD_HEIGHT 262

static const char *
add_act (BlElement element)
{
  static char act[16];
  g_snprintf (act, sizeof act, "add-%d", element);
  return act;
}

static const char *
state_title (const BlBoard *board, const char *id)
{
  const BlState *state = id != NULL ? bl_board_state (board, id) : NULL;

  if (state == NULL)
    return id != NULL ? id : "–";
  return state->title != NULL && *state->title != '\0' ? state->title : state->id;
}

/* --- in hand --- */

static void
limits_line (BlSheet *sheet, const BlMeasurement *measurement, const BlRef *ref)
{
  bl_sheet_line (sheet, NULL, 12, ref, NULL);
  if (measurement->measures == BL_MEASURES_SWING)
    bl_sheet_slot (sheet, ref, BL_SLOT_SPAN_BELOW, 8, TRUE);
  else if (bl_measures_is_resistive (measurement->measures))
    {
      bl_sheet_slot (sheet, ref, BL_SLOT_SHORTED_BELOW, 12, TRUE);
      bl_sheet_slot (sheet, ref, BL_SLOT_OPEN_ABOVE, 12, TRUE);
    }
  else if (measurement->measures != BL_MEASURES_CHECK)
    bl_sheet_slot (sheet, ref, BL_SLOT_ABSENT_BELOW, 14, TRUE);
  bl_sheet_slot (sheet, ref, BL_SLOT_SOURCE, -1, TRUE);
}

static void
mark_lines (BlSheet *sheet, const BlMeasurement *measurement)
{
  for (guint i = 0; i < bl_len (measurement->expected.marks); i++)
    {
      BlRef mark = bl_ref_at (BL_ELEMENT_MARK, measurement->id, i);
      bl_sheet_line (sheet, NULL, 12, NULL, NULL);
      bl_sheet_words (sheet, _ ("a known fault reads"), "muted");
      bl_sheet_slot (sheet, &mark, BL_SLOT_LOW, 8, TRUE);
      bl_sheet_slot (sheet, &mark, BL_SLOT_HIGH, 8, TRUE);
      bl_sheet_words (sheet, _ ("mark"), "muted");
      bl_sheet_slot (sheet, &mark, BL_SLOT_ID, -1, FALSE);
      bl_sheet_button (sheet, "✕", NULL, _ ("Delete this mark"), "remove", &mark);
    }
}

/* What wave is there, for meters that are wrong on what is no sine. */
static void
wave_line (BlSheet *sheet, const BlMeasurement *measurement, const BlRef *ref)
{
  bl_sheet_line (sheet, NULL, 12, NULL, NULL);
  bl_sheet_slot (sheet, ref, BL_SLOT_WAVEFORM, 0, TRUE);
  if (g_strcmp0 (measurement->waveform, "pulse") == 0)
    bl_sheet_slot (sheet, ref, BL_SLOT_DUTY, 6, TRUE);
}

/* Rows of component limits of this kind of measurement. */
static void
component_limits_line (BlEditor *self, BlSheet *sheet, const BlMeasurement *measurement)
{
  g_autofree char *key = g_strdup_printf ("limits of %s %d", measurement->id, measurement->measures);

  bl_sheet_line (sheet, NULL, 12, NULL, NULL);
  bl_sheet_widget (sheet, key, bl_limits_list_new (self->edition, measurement->id));
}

/* What the band follows: chosen from a list or on the photo; its line as text and drawn. */
static void
follow_lines (BlEditor *self, BlSheet *sheet, const BlMeasurement *measurement, const BlRef *ref)
{
  g_autofree char *key = g_strdup_printf ("follows form of %s", measurement->id);

  bl_sheet_line (sheet, NULL, 12, NULL, NULL);
  bl_sheet_slot (sheet, ref, BL_SLOT_FOLLOWS, 0, TRUE);
  bl_sheet_button (sheet, _ ("choose on the photo"), NULL,
                   _ ("Choose what it follows by a press on its point on the photo"), "pick-followed", ref);
  if (measurement->expected.follows == NULL)
    return;
  bl_sheet_slot (sheet, ref, BL_SLOT_LINE_WIDTH, 10, TRUE);
  bl_sheet_line (sheet, NULL, 12, NULL, NULL);
  bl_sheet_slot (sheet, ref, BL_SLOT_LINE, -1, TRUE);
  bl_sheet_line (sheet, NULL, 12, NULL, NULL);
  bl_sheet_widget (sheet, key, bl_follows_form_new (self->edition, measurement->id));
}

static void
more_lines (BlEditor *self, BlSheet *sheet, const BlMeasurement *measurement, const BlRef *ref)
{
  limits_line (sheet, measurement, ref);
  if (measurement->measures < BL_MEASURES_SWING)
    component_limits_line (self, sheet, measurement);
  bl_sheet_line (sheet, NULL, 12, ref, NULL);
  bl_sheet_slot (sheet, ref, BL_SLOT_TITLE, -1, TRUE);
  bl_sheet_slot (sheet, ref, BL_SLOT_AT, 0, TRUE);
  bl_sheet_slot (sheet, ref, BL_SLOT_EFFORT, 6, TRUE);
  bl_sheet_line (sheet, NULL, 12, ref, NULL);
  bl_sheet_slot (sheet, ref, BL_SLOT_MISREAD, 6, TRUE);
  bl_sheet_slot (sheet, ref, BL_SLOT_SERIES, 0, TRUE);
  bl_sheet_slot (sheet, ref, BL_SLOT_ID, 7, TRUE);
  bl_sheet_button (sheet, _ ("+ mark"), NULL, _ ("Add a value that a known fault gives"), ADD (BL_ELEMENT_MARK), ref);
  mark_lines (sheet, measurement);
  if (measurement->measures == BL_MEASURES_SWING || measurement->measures == BL_MEASURES_CHECK)
    return;
  if (measurement->measures <= BL_MEASURES_A_AC)
    wave_line (sheet, measurement, ref);
  follow_lines (self, sheet, measurement, ref);
}

static void
measurement_lines (BlEditor *self, BlSheet *sheet, const BlMeasurement *measurement)
{
  BlRef ref = bl_ref (BL_ELEMENT_MEASUREMENT, measurement->id);
  gboolean open = self->has_selected && bl_ref_equal (&self->selected, &ref);

  bl_sheet_line (sheet, "above", 0, &ref, NULL);
  bl_sheet_name (sheet, measurement->id, "strong");
  bl_sheet_slot (sheet, &ref, BL_SLOT_MEASURES, 0, FALSE);
  bl_sheet_words (sheet, _ ("in"), "muted");
  bl_sheet_slot (sheet, &ref, BL_SLOT_STATE, 0, FALSE);
  bl_sheet_slot (sheet, &ref, BL_SLOT_BLACK, 0, TRUE);
  bl_sheet_line (sheet, NULL, 0, &ref, NULL);
  /* A resistance is no output: components say what they make of it. */
  if (measurement->reads != NULL || !bl_measures_is_resistive (measurement->measures))
    bl_sheet_slot (sheet, &ref, BL_SLOT_READS, 0, TRUE);
  bl_sheet_slot (sheet, &ref, BL_SLOT_EXPECTED, 15, TRUE);
  bl_sheet_lane (sheet, measurement->id, FALSE);
  bl_sheet_button (sheet, "✕", NULL, _ ("Delete this measurement"), "remove", &ref);
  if (open)
    {
      bl_editor_good_hand (self, sheet, measurement);
      more_lines (self, sheet, measurement, &ref);
    }
  else
    {
      bl_sheet_line (sheet, NULL, 12, NULL, NULL);
      bl_sheet_button (sheet, _ ("more: limits, effort, marks, band that follows"), NULL, NULL, "go", &ref);
    }
}

static void
point_lines (BlSheet *sheet, const BlTestPoint *point)
{
  BlRef ref = bl_ref (BL_ELEMENT_TEST_POINT, point->id);

  bl_sheet_line (sheet, "hand-head", 0, NULL, NULL);
  bl_sheet_slot (sheet, &ref, BL_SLOT_ID, 6, FALSE);
  bl_sheet_slot (sheet, &ref, BL_SLOT_TITLE, -1, FALSE);
  bl_sheet_slot (sheet, &ref, BL_SLOT_GROUND, 0, TRUE);
  bl_sheet_slot (sheet, &ref, BL_SLOT_SOURCE_OHM, 8, TRUE);
  bl_sheet_button (sheet, "✕", NULL, _ ("Delete this test point and its measurements"), "remove", &ref);
  if (point->photo != NULL)
    return;
  bl_sheet_line (sheet, NULL, 0, NULL, NULL);
  bl_sheet_words (sheet, _ ("It has no place on a photo yet."), "muted");
  bl_sheet_button (sheet, _ ("place it"), NULL, _ ("Place this test point: press on the photo"), "place-selected",
                   &ref);
}

/* Points offered for placing at once; more would make the panel wider than its share. */
#define MOST_WAITING 3

/* Points that came with a template or a document without a place: they stand last in the list, and nothing on the
 * photo tells of them. */
static void
waiting_lines (BlSheet *sheet, const BlBoard *board)
{
  guint n = 0;

  for (guint i = 0; i < bl_len (board->test_points); i++)
    {
      const BlTestPoint *point = bl_at (board->test_points, i);
      if (point->photo != NULL)
        continue;
      if (n++ == 0)
        {
          bl_sheet_line (sheet, NULL, 0, NULL, NULL);
          bl_sheet_words (sheet, _ ("without a place on a photo, place now:"), NULL);
        }
      if (n > MOST_WAITING)
        continue;
      BlRef ref = bl_ref (BL_ELEMENT_TEST_POINT, point->id);
      g_autofree char *tip = g_strdup_printf (_ ("Place %s: press on the photo"), point->id);
      bl_sheet_button (sheet, point->id, NULL, tip, "place-selected", &ref);
    }
  if (n > MOST_WAITING)
    {
      g_autofree char *more = g_strdup_printf (ngettext ("and %u more", "and %u more", n - MOST_WAITING),
                                               n - MOST_WAITING);
      bl_sheet_words (sheet, more, "muted");
    }
  if (n > 1)
    bl_sheet_button (sheet, _ ("one after the other"), _ ("Shift P"),
                     _ ("Place them all: the name of the next goes with the pointer"), "place-waiting", NULL);
}

void
bl_editor_points_hand (BlEditor *self, BlSheet *sheet)
{
  const BlBoard *board = bl_edition_get_board (self->edition);
  const BlMeasurement *chosen = self->has_selected && self->selected.element == BL_ELEMENT_MEASUREMENT
                                  ? bl_board_measurement (board, self->selected.id)
                                  : NULL;
  const char *id = chosen != NULL ? chosen->at
                   : self->has_selected && self->selected.element == BL_ELEMENT_TEST_POINT ? self->selected.id : NULL;
  const BlTestPoint *point = id != NULL ? bl_board_test_point (board, id) : NULL;

  /* A line is to be seen whole, and known-good boards with the band that they are about. */
  gtk_widget_set_size_request (self->hand_scroll, -1,
                               chosen == NULL                          ? HAND_HEIGHT
                               : chosen->expected.follows != NULL      ? FOLLOWS_HEIGHT
                               : bl_editor_good_has (self, chosen->id) ? GOOD_HEIGHT
                                                                       : HAND_HEIGHT);
  if (point == NULL && chosen == NULL)
    {
      bl_sheet_line (sheet, NULL, 0, NULL, NULL);
      bl_sheet_words (sheet, _ ("Nothing in hand"), "heading");
      bl_sheet_line (sheet, NULL, 0, NULL, NULL);
      bl_sheet_words (sheet,
                      _ ("P, then a press on the photo, places a test point; its expected value is typed at once and "
                         "Enter keeps it. Points can be dragged. A board with points and stages can be used at once; "
                         "components can wait."),
                      "muted wrap");
      bl_sheet_line (sheet, NULL, 0, NULL, NULL);
      bl_sheet_button (sheet, _ ("place test points"), "P", NULL, "tool-point", NULL);
      waiting_lines (sheet, board);
      return;
    }
  if (point != NULL)
    point_lines (sheet, point);
  /* The one in hand first, so that it never has to be looked for. */
  if (chosen != NULL)
    measurement_lines (self, sheet, chosen);
  for (guint i = 0; point != NULL && i < bl_len (board->measurements); i++)
    {
      const BlMeasurement *measurement = bl_at (board->measurements, i);
      if (measurement != chosen && g_strcmp0 (measurement->at, point->id) == 0)
        measurement_lines (self, sheet, measurement);
    }
}

/* --- all of them --- */

static void
measurement_row (BlSheet *sheet, const BlBoard *board, const BlMeasurement *measurement, const char *point,
                 const char *title)
{
  BlRef ref = bl_ref (BL_ELEMENT_MEASUREMENT, measurement->id);
  const char *own = measurement->title != NULL && *measurement->title != '\0' ? measurement->title : title;
  const char *state = state_title (board, measurement->state);
  const char *kind = measurement->measures < BL_N_MEASURES ? bl_measures_name (measurement->measures) : "";
  g_autofree char *words = own != NULL && *own != '\0' ? g_strdup_printf (_ ("%s · %s, %s"), own, _ (kind), state)
                                                       : g_strdup_printf (_ ("%s, %s"), _ (kind), state);
  g_autofree char *expected = bl_slot_get (board, &ref, BL_SLOT_EXPECTED);
  g_autofree char *label = g_strdup_printf (_ ("%s, %s, expected %s"), point, words,
                                            *expected != '\0' ? expected : _ ("nothing yet"));

  bl_sheet_line (sheet, "lane-row", 0, &ref, label);
  bl_sheet_name (sheet, point, "strong id-column");
  bl_sheet_words (sheet, words, "stretch twoline");
  bl_sheet_slot (sheet, &ref, BL_SLOT_EXPECTED, 19, FALSE);
  bl_sheet_lane (sheet, measurement->id, TRUE);
}

static guint
add_rows_of (BlSheet *sheet, const BlBoard *board, const BlTestPoint *point)
{
  guint n = 0;

  for (guint i = 0; i < bl_len (board->measurements); i++)
    {
      const BlMeasurement *measurement = bl_at (board->measurements, i);
      if (g_strcmp0 (measurement->at, point != NULL ? point->id : NULL) != 0)
        continue;
      measurement_row (sheet, board, measurement, point != NULL ? point->id : measurement->id,
                       point != NULL ? point->title : NULL);
      n++;
    }
  return n;
}

static void
bare_point_row (BlSheet *sheet, const BlTestPoint *point)
{
  BlRef ref = bl_ref (BL_ELEMENT_TEST_POINT, point->id);
  g_autofree char *label = g_strdup_printf (_ ("%s, no measurement"), point->id);

  bl_sheet_line (sheet, "lane-row", 0, &ref, label);
  bl_sheet_name (sheet, point->id, "strong id-column");
  bl_sheet_words (sheet, point->title != NULL && *point->title != '\0' ? point->title : _ ("no measurement here"),
                  "muted stretch");
}

void
bl_editor_points_list (BlEditor *self, BlSheet *sheet)
{
  const BlBoard *board = bl_edition_get_board (self->edition);
  guint n = bl_len (board->measurements);
  g_autofree char *points = g_strdup_printf (ngettext ("%u test point", "%u test points", bl_len (board->test_points)),
                                             bl_len (board->test_points));
  /* Translators: under the heading Measurements, as in "113 at 43 test points" */
  g_autofree char *words = g_strdup_printf (_ ("%u at %s"), n, points);

  bl_sheet_line (sheet, "list-head", 0, NULL, NULL);
  bl_sheet_words (sheet, _ ("Measurements"), "heading");
  bl_sheet_words (sheet, words, "muted stretch");
  bl_sheet_words (sheet, _ ("expected"), "muted expected-head");
  bl_sheet_words (sheet, _ ("band ruler"), "muted lane-head");
  for (guint i = 0; i < bl_len (board->test_points); i++)
    {
      const BlTestPoint *point = bl_at (board->test_points, i);
      if (add_rows_of (sheet, board, point) == 0)
        bare_point_row (sheet, point);
    }
  add_rows_of (sheet, board, NULL);
}
