/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the sheet of test points shows of an edition. */
#include "config.h"

#include "bl-point-sheet-fill.h"

#include "bl-document.h"

#include <string.h>

static const char document[]
    = "{ \"format\": \"benchlore-board\", \"version\": 1, \"board_number\": \"RB-17\", \"edition\": \"C\","
      "  \"states\": [{\"id\": \"run\", \"title\": \"Running\", \"live\": true, \"volts\": 325},"
      "               {\"id\": \"off\", \"title\": \"Unpowered\", \"live\": false}],"
      "  \"photos\": [{\"id\": \"front\", \"side\": \"front\", \"file\": \"photos/front.jpg\"},"
      "               {\"id\": \"empty\", \"file\": \"photos/empty.jpg\"},"
      "               {\"id\": \"back\", \"title\": \"Solder side\", \"file\": \"photos/back.jpg\"}],"
      "  \"sections\": [{\"id\": \"supply\"}], \"stages\": [{\"id\": \"rail5\", \"section\": \"supply\"}],"
      "  \"test_points\": [{\"id\": \"TP5\", \"title\": \"U2 pin 3\", \"photo\": \"front\", \"x\": 1, \"y\": 2},"
      "                    {\"id\": \"TPB\", \"photo\": \"back\", \"x\": 3, \"y\": 4, \"ground\": \"hot\"},"
      "                    {\"id\": \"TP0\", \"photo\": \"front\", \"x\": 5, \"y\": 6}],"
      "  \"measurements\": [{\"id\": \"M5\", \"title\": \"5 V rail\", \"at\": \"TP5\", \"black\": \"TP0\","
      "                      \"measures\": \"V DC\", \"state\": \"run\", \"expected\": {\"low\": 4.8, \"high\": 5.2}},"
      "                     {\"id\": \"MR\", \"at\": \"TP5\", \"measures\": \"ohm\", \"state\": \"off\","
      "                      \"expected\": {\"low\": 900}},"
      "                     {\"id\": \"MB\", \"at\": \"TPB\", \"black\": \"TP0\", \"measures\": \"V DC\","
      "                      \"state\": \"run\", \"expected\": {\"follows\": {\"measurement\": \"M5\","
      "                      \"points\": [[4, 8], [6, 12]]}}},"
      "                     {\"id\": \"MX\", \"title\": \"lamp lit\", \"measures\": \"check\", \"state\": \"run\"}] }";

static const char jpeg[] = "\xff\xd8\xff\xe0 not looked at";

static BlLibrary *
library_new (gint64 *id)
{
  g_autoptr (GError) error = NULL;
  BlLibrary *library = bl_library_open (":memory:", TRUE, &error);
  g_autoptr (BlBoard) board = bl_document_parse (document, -1, NULL, &error);
  g_autoptr (GBytes) image = g_bytes_new_static (jpeg, sizeof jpeg);

  g_assert_no_error (error);
  *id = bl_library_add_board (library, board, FALSE, &error);
  bl_library_put_board_photo (library, *id, "front", "image/jpeg", image, NULL, &error);
  bl_library_put_board_photo (library, *id, "back", "image/jpeg", image, NULL, &error);
  g_assert_no_error (error);
  return library;
}

static void
assert_row (const BlPointPhoto *photo, guint group, guint row, guint number, const char *point, const char *black,
            const char *title, const char *expected)
{
  const BlPointGroup *found = g_ptr_array_index (photo->groups, group);
  const BlPointRow *line = g_ptr_array_index (found->rows, row);

  g_assert_cmpuint (line->number, ==, number);
  g_assert_cmpstr (line->point, ==, point);
  g_assert_cmpstr (line->black, ==, black);
  g_assert_cmpstr (line->title, ==, title);
  g_assert_nonnull (strstr (line->expected, expected));
}

static void
test_fill (void)
{
  gint64 id;
  BlLibrary *library = library_new (&id);
  g_autoptr (GError) error = NULL;
  g_autoptr (BlPointSheet) sheet = bl_point_sheet_fill (library, id, &error);

  g_assert_no_error (error);
  g_assert_cmpstr (sheet->board, ==, "RB-17, edition C");
  g_assert_cmpfloat (sheet->volts, ==, 325);
  g_assert_cmpuint (sheet->photos->len, ==, 2); /* the photo without points is left out */
  const BlPointPhoto *front = g_ptr_array_index (sheet->photos, 0), *back = g_ptr_array_index (sheet->photos, 1);
  g_assert_cmpstr (back->title, ==, "Solder side");

  g_assert_cmpuint (front->marks->len, ==, 2);
  const BlPointMark *second = g_ptr_array_index (front->marks, 1), *hot = g_ptr_array_index (back->marks, 0);
  g_assert_cmpuint (second->number, ==, 2);
  g_assert_true (second->lead && !second->hot);
  g_assert_true (hot->hot && !hot->lead && hot->number == 1);

  g_assert_cmpuint (front->groups->len, ==, 2);
  g_assert_false (((const BlPointGroup *) g_ptr_array_index (front->groups, 0))->live); /* safe states first */
  assert_row (front, 0, 0, 1, "TP5", "", "U2 pin 3", "900");
  assert_row (front, 1, 0, 1, "TP5", "2", "5 V rail", "V DC");
  assert_row (front, 1, 1, 0, "MX", "", "lamp lit", "yes");
  assert_row (back, 0, 0, 1, "TPB", "TP0", "", "M5"); /* by what it follows */
  bl_library_close (library);
}

static void
test_none (void)
{
  g_autoptr (GError) error = NULL, missing = NULL;
  g_autoptr (BlLibrary) library = bl_library_open (":memory:", TRUE, NULL);
  g_autoptr (BlBoard) board = bl_document_parse ("{\"format\": \"benchlore-board\", \"version\": 1}", -1, NULL, &error);

  g_assert_no_error (error);
  g_assert_null (bl_point_sheet_fill (library, bl_library_add_board (library, board, FALSE, NULL), &error));
  g_assert_error (error, BL_STORE_ERROR, BL_STORE_ERROR_INVALID);
  g_assert_null (bl_point_sheet_fill (library, 99, &missing));
  g_assert_nonnull (missing);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/model/point-sheet-fill/edition", test_fill);
  g_test_add_func ("/model/point-sheet-fill/nothing-placed", test_none);
  return g_test_run ();
}
