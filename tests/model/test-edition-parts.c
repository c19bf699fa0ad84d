/* SPDX-License-Identifier: GPL-3.0-or-later
 * Changing any part of an open document: saved at once, undone to the letter, refused in words. */
#include "config.h"

#include "bl-edition-parts.h"
#include "example.h"

#include "scratch.h"

typedef struct
{
  char *folder, *path;
  BlLibrary *library;
  BlEdition *edition;
} Fixture;

static void
set_up (Fixture *fixture, gconstpointer unused)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (BlBoard) board = example_board ();

  fixture->folder = scratch_new ();
  fixture->path = scratch_file (fixture->folder, "parts.benchlore-library");
  fixture->library = bl_library_open (fixture->path, TRUE, &error);
  g_assert_no_error (error);
  gint64 id = bl_library_add_board (fixture->library, board, FALSE, &error);
  g_assert_no_error (error);
  fixture->edition = bl_edition_new (fixture->library, id, &error);
  g_assert_no_error (error);
}

static void
tear_down (Fixture *fixture, gconstpointer unused)
{
  g_clear_object (&fixture->edition);
  g_clear_pointer (&fixture->library, bl_library_close);
  g_free (fixture->path);
  scratch_free (fixture->folder);
}

static char *
document_of (Fixture *fixture)
{
  return bl_document_write (bl_edition_get_board (fixture->edition));
}

static char *
document_on_disk (Fixture *fixture)
{
  g_autoptr (BlBoard) board
    = bl_library_load_board (fixture->library, bl_edition_get_id (fixture->edition), NULL);
  return bl_document_write (board);
}

/* The one step just done is on disk, and one undo takes it back to the letter. */
static void
assert_one_step (Fixture *fixture, const char *before)
{
  g_autoptr (GError) error = NULL;
  g_autofree char *after = document_of (fixture), *disk = document_on_disk (fixture);

  g_assert_cmpstr (after, !=, before);
  g_assert_cmpstr (disk, ==, after);
  g_assert_nonnull (bl_edition_get_undo_label (fixture->edition));
  g_assert_true (bl_edition_undo (fixture->edition, &error));
  g_assert_no_error (error);
  g_autofree char *back = document_of (fixture), *disk_back = document_on_disk (fixture);
  g_assert_cmpstr (back, ==, before);
  g_assert_cmpstr (disk_back, ==, before);
}

static void
test_add (Fixture *fixture, gconstpointer unused)
{
  const struct
  {
    BlRef parent;
    BlElement element;
  } cases[] = {
    { bl_ref (BL_ELEMENT_BOARD, NULL), BL_ELEMENT_STATE },
    { bl_ref (BL_ELEMENT_BOARD, NULL), BL_ELEMENT_PORT },
    { bl_ref (BL_ELEMENT_BOARD, NULL), BL_ELEMENT_SECTION },
    { bl_ref (BL_ELEMENT_SECTION, "link"), BL_ELEMENT_STAGE },
    { bl_ref (BL_ELEMENT_STAGE, "rx"), BL_ELEMENT_FEED },
    { bl_ref (BL_ELEMENT_STAGE, "rx"), BL_ELEMENT_COMPONENT },
    { bl_ref (BL_ELEMENT_COMPONENT, "F1"), BL_ELEMENT_MODE },
    { bl_ref_mode (BL_ELEMENT_MODE, "F1", "open", 0), BL_ELEMENT_SHOW },
    { bl_ref_mode (BL_ELEMENT_MODE, "X3", "poor contact", 0), BL_ELEMENT_SHOW },
    { bl_ref_mode (BL_ELEMENT_MODE, "F1", "open", 0), BL_ELEMENT_EFFECT },
    { bl_ref_mode (BL_ELEMENT_MODE, "U2", "short", 0), BL_ELEMENT_PROVOKES },
    { bl_ref (BL_ELEMENT_MEASUREMENT, "M5"), BL_ELEMENT_MARK },
    { bl_ref (BL_ELEMENT_MEASUREMENT, "M9"), BL_ELEMENT_MARK },
    { bl_ref (BL_ELEMENT_BOARD, NULL), BL_ELEMENT_SYMPTOM },
    { bl_ref (BL_ELEMENT_SYMPTOM, "E1"), BL_ELEMENT_WHEN },
    { bl_ref (BL_ELEMENT_BOARD, NULL), BL_ELEMENT_INDICATION },
    { bl_ref_at (BL_ELEMENT_INDICATION, NULL, 0), BL_ELEMENT_LAMP },
  };

  for (guint i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      g_autoptr (GError) error = NULL;
      g_autofree char *before = document_of (fixture);
      BlRef added;
      g_test_message ("case %u", i);
      g_assert_true (bl_edition_add_part (fixture->edition, &cases[i].parent, cases[i].element, &added, &error));
      g_assert_no_error (error);
      g_assert_cmpint (added.element, ==, cases[i].element);
      g_assert_nonnull (bl_ref_find (bl_edition_get_board (fixture->edition), &added));
      assert_one_step (fixture, before);
    }
}

static void
test_remove (Fixture *fixture, gconstpointer unused)
{
  g_autoptr (GArray) refs = all_refs (bl_edition_get_board (fixture->edition));
  guint n = 0;

  for (guint i = 0; i < refs->len; i++)
    {
      const BlRef *ref = &g_array_index (refs, BlRef, i);
      g_autoptr (GError) error = NULL;
      g_autofree char *before = document_of (fixture), *key = bl_ref_key (ref);
      if (ref->element == BL_ELEMENT_BOARD)
        continue;
      g_test_message ("%s", key);
      g_assert_true (bl_edition_remove_part (fixture->edition, ref, &error));
      g_assert_no_error (error);
      assert_one_step (fixture, before);
      n++;
    }
  g_assert_cmpuint (n, >, 25);
}

/* The example ends with X3, a connector; X4 is taken first. */
static void
test_designators (Fixture *fixture, gconstpointer unused)
{
  BlRef stage = bl_ref (BL_ELEMENT_STAGE, "rx"), fuse = bl_ref (BL_ELEMENT_COMPONENT, "F1"), added;

  g_assert_true (bl_edition_set_slot (fixture->edition, &fuse, BL_SLOT_ID, "X4", NULL));
  g_assert_true (bl_edition_add_part (fixture->edition, &stage, BL_ELEMENT_COMPONENT, &added, NULL));
  g_assert_cmpstr (added.id, ==, "X5");
  g_assert_cmpstr (bl_board_component (bl_edition_get_board (fixture->edition), "X5")->kind, ==, "connector");
}

static void
test_no_change (Fixture *fixture, gconstpointer unused)
{
  BlRef m5 = bl_ref (BL_ELEMENT_MEASUREMENT, "M5");

  g_assert_true (bl_edition_set_slot (fixture->edition, &m5, BL_SLOT_TITLE, " 5 V ", NULL));
  g_assert_null (bl_edition_get_undo_label (fixture->edition));
}

static void
test_refused (Fixture *fixture, gconstpointer unused)
{
  g_autoptr (GError) error = NULL;
  g_autofree char *before = document_of (fixture);
  BlRef m5 = bl_ref (BL_ELEMENT_MEASUREMENT, "M5"), feed = bl_ref_at (BL_ELEMENT_FEED, "rail12", 0);

  /* The rule of the document speaks, in words and not in paths. */
  g_assert_false (bl_edition_set_slot (fixture->edition, &m5, BL_SLOT_ABSENT_BELOW, "6 V", &error));
  g_assert_nonnull (strstr (error->message, "M5"));
  g_assert_null (strstr (error->message, "$"));
  g_clear_error (&error);
  g_assert_false (bl_edition_set_slot (fixture->edition, &feed, BL_SLOT_FROM, "rail5", &error)); /* a loop */
  g_assert_nonnull (error);
  g_autofree char *after = document_of (fixture);
  g_assert_cmpstr (after, ==, before);
  g_assert_null (bl_edition_get_undo_label (fixture->edition));
}

static void
test_last_state_stays (Fixture *fixture, gconstpointer unused)
{
  g_autoptr (GError) error = NULL;
  BlRef off = bl_ref (BL_ELEMENT_STATE, "off"), run = bl_ref (BL_ELEMENT_STATE, "run");

  g_assert_true (bl_edition_remove_part (fixture->edition, &off, &error));
  g_assert_false (bl_edition_remove_part (fixture->edition, &run, &error));
  g_assert_nonnull (error);
}

static void
test_usual_modes (Fixture *fixture, gconstpointer unused)
{
  g_autoptr (GError) error = NULL;
  g_autofree char *before = document_of (fixture);
  BlRef kind = bl_ref (BL_ELEMENT_COMPONENT, "F1");
  guint n;

  g_assert_true (bl_edition_set_slot (fixture->edition, &kind, BL_SLOT_KIND, "capacitor.electrolytic", &error));
  g_assert_true (bl_edition_add_usual_modes (fixture->edition, "F1", &n, &error));
  g_assert_no_error (error);
  /* short, leak and drift; open is there: MIL-HDBK-338B, row aluminium electrolytic */
  g_assert_cmpuint (n, ==, 3);
  g_assert_true (bl_edition_add_usual_modes (fixture->edition, "F1", &n, &error));
  g_assert_cmpuint (n, ==, 0);
  g_assert_true (bl_edition_undo (fixture->edition, &error));
  assert_one_step (fixture, before);
  g_assert_true (bl_edition_set_slot (fixture->edition, &kind, BL_SLOT_KIND, "no such thing", &error));
  g_assert_false (bl_edition_add_usual_modes (fixture->edition, "F1", &n, &error));
  g_assert_error (error, BL_CORE_ERROR, BL_CORE_ERROR_UNKNOWN);
}

static void
test_drag (Fixture *fixture, gconstpointer unused)
{
  g_autoptr (GError) error = NULL;
  g_autofree char *before = document_of (fixture);
  BlRef point = bl_ref (BL_ELEMENT_TEST_POINT, "TP5"), component = bl_ref (BL_ELEMENT_COMPONENT, "F1");

  for (double x = 10; x < 20; x++)
    g_assert_true (bl_edition_place (fixture->edition, &point, "front", x, 30, &error));
  bl_edition_settle (fixture->edition);
  g_autofree char *first = document_of (fixture);
  for (double x = 20; x < 30; x++)
    g_assert_true (bl_edition_place (fixture->edition, &point, "front", x, 30, &error));
  assert_one_step (fixture, first);
  assert_one_step (fixture, before);
  g_assert_true (bl_edition_place (fixture->edition, &component, "front", 4, 5, &error));
  g_assert_cmpfloat (bl_board_component (bl_edition_get_board (fixture->edition), "F1")->y, ==, 5);
  assert_one_step (fixture, before);
}

static void
test_outlines (Fixture *fixture, gconstpointer unused)
{
  static const double square[] = { 0, 0, 50, 0, 50, 40, 0, 40 }, moved[] = { 0, 0, 60, 0, 50, 40, 0, 40 };
  g_autoptr (GError) error = NULL;
  g_autoptr (GArray) points = g_array_new (FALSE, FALSE, sizeof (double));
  g_autofree char *before = document_of (fixture);
  BlRef stage = bl_ref (BL_ELEMENT_STAGE, "rx");

  g_array_append_vals (points, square, 8);
  g_assert_true (bl_edition_add_outline (fixture->edition, &stage, "front", points, &error));
  g_autofree char *drawn = document_of (fixture);
  g_array_set_size (points, 0);
  g_array_append_vals (points, moved, 8);
  g_assert_true (bl_edition_set_outline (fixture->edition, &stage, "front", 0, points, &error));
  assert_one_step (fixture, drawn);
  g_assert_false (bl_edition_set_outline (fixture->edition, &stage, "front", 1, points, &error));
  g_clear_error (&error);
  g_assert_true (bl_edition_remove_outlines (fixture->edition, &stage, "front", &error));
  assert_one_step (fixture, drawn);
  assert_one_step (fixture, before);
}

int
main (int argc, char *argv[])
{
  g_test_init (&argc, &argv, NULL);
#define ADD(name, function) g_test_add (name, Fixture, NULL, set_up, function, tear_down)
  ADD ("/model/edition-parts/add", test_add);
  ADD ("/model/edition-parts/remove", test_remove);
  ADD ("/model/edition-parts/designators", test_designators);
  ADD ("/model/edition-parts/no-change", test_no_change);
  ADD ("/model/edition-parts/refused", test_refused);
  ADD ("/model/edition-parts/last-state-stays", test_last_state_stays);
  ADD ("/model/edition-parts/usual-modes", test_usual_modes);
  ADD ("/model/edition-parts/drag", test_drag);
  ADD ("/model/edition-parts/outlines", test_outlines);
  return g_test_run ();
}
