/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Equipments of a library: put, listed, joined, removed and brought back, out as a bundle and in again. */
#undef G_DISABLE_ASSERT
#include "config.h"

#include "bl-document.h"
#include "bl-library-equipment.h"
#include "bl-library-steps.h"
#include "bl-zip.h"

#include "pictures.h"
#include "sample.h"
#include "scratch.h"

/* Two boards that a conductor joins: the sample's, with a port, and the sample's stage at the far end. */
#define FAR_DOCUMENT                                                                               \
  "{ \"format\": \"benchlore-board\", \"version\": 1, \"uid\": \"33333333-2222-4333-8444-555555555555\"," \
  "  \"board_number\": \"RB-18\", \"edition\": \"A\","                                             \
  "  \"states\": [{\"id\": \"off\", \"live\": false}, {\"id\": \"run\", \"live\": true}],"         \
  "  \"photos\": [{\"id\": \"front\", \"side\": \"front\", \"file\": \"photos/front.jpg\"}],"      \
  "  \"sections\": [{\"id\": \"link\", \"kind\": \"communication\"}],"                             \
  "  \"ports\": [{\"id\": \"S\"}],"                                                                \
  "  \"stages\": [{\"id\": \"rx\", \"section\": \"link\", \"feeds\": {\"from\": [\"port:S\"]}}],"  \
  "  \"measurements\": [{\"id\": \"MR\", \"measures\": \"V DC\", \"state\": \"run\", \"reads\": \"rx\"," \
  "                      \"expected\": {\"nominal\": 12, \"low\": 11, \"high\": 13}}] }"
#define PAIR(near_path, far_path)                                                                  \
  "{ \"format\": \"benchlore-equipment\", \"version\": 1, \"title\": \"pair\","                    \
  "  \"photos\": [{\"id\": \"box\", \"side\": \"front\", \"file\": \"photos/box.webp\"}],"         \
  "  \"boards\": [{\"role\": \"near\", \"board\": \"" near_path "\"}, {\"role\": \"far\", \"board\": \"" far_path "\"}]," \
  "  \"conductors\": [{\"id\": \"W3\", \"from\": \"near/rail5\", \"to\": \"far/S\","               \
  "                    \"modes\": [{\"mode\": \"open\", \"effects\": [{\"is\": \"absent\"}]}]}] }"

typedef struct
{
  char *folder, *path;
  BlLibrary *library;
} Fixture;

static void
set_up (Fixture *f, gconstpointer data)
{
  g_autoptr (GError) error = NULL;

  f->folder = scratch_new ();
  f->path = scratch_file (f->folder, "pair.benchlore");
  f->library = bl_library_open (":memory:", TRUE, &error);
  g_assert_no_error (error);
}

static void
tear_down (Fixture *f, gconstpointer data)
{
  bl_library_close (f->library);
  g_free (f->path);
  scratch_free (f->folder);
}

/* A zip of pairs name, text; ends with NULL. */
static void
make_zip (const char *path, ...)
{
  g_autoptr (GPtrArray) names = g_ptr_array_new ();
  g_autoptr (GHashTable) entries =
      g_hash_table_new_full (g_str_hash, g_str_equal, NULL, (GDestroyNotify) g_bytes_unref);
  const char *name;
  va_list arguments;

  va_start (arguments, path);
  while ((name = va_arg (arguments, const char *)) != NULL)
    {
      g_ptr_array_add (names, (gpointer) name);
      g_hash_table_insert (entries, (gpointer) name, picture_or_text (va_arg (arguments, const char *)));
    }
  va_end (arguments);
  g_ptr_array_add (names, NULL);
  g_assert_true (bl_zip_write (path, (const char *const *) names->pdata, entries, NULL));
}

static gint64
add_board (BlLibrary *library, const char *document)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (BlBoard) board = bl_document_parse (document, -1, NULL, &error);
  gint64 id;

  g_assert_no_error (error);
  id = bl_library_add_board (library, board, FALSE, &error);
  g_assert_no_error (error);
  return id;
}

static gint64
add_pair (BlLibrary *library, gint64 *boards)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (BlEquipment) equipment = bl_equipment_read (PAIR ("n.json", "f.json"), -1, NULL, &error);
  gint64 id;

  g_assert_no_error (error);
  boards[0] = add_board (library, SAMPLE_DOCUMENT);
  boards[1] = add_board (library, FAR_DOCUMENT);
  id = bl_library_put_equipment (library, 0, equipment, boards, &error);
  g_assert_no_error (error);
  return id;
}

static guint
count (BlLibrary *library)
{
  g_autoptr (GPtrArray) rows = bl_library_equipments (library, NULL);

  g_assert_nonnull (rows);
  return rows->len;
}

static void
test_put (Fixture *f, gconstpointer data)
{
  gint64 boards[2], id = add_pair (f->library, boards);
  g_autoptr (GPtrArray) rows = bl_library_equipments (f->library, NULL);
  g_autoptr (GError) error = NULL;
  g_autoptr (BlBoard) joined = NULL, edited = NULL, again = NULL;
  g_autoptr (BlEquipment) equipment = bl_library_get_equipment (f->library, id, &error);

  g_assert_no_error (error);
  g_assert_cmpuint (rows->len, ==, 1);
  const BlEquipmentRow *row = g_ptr_array_index (rows, 0);
  g_assert_cmpstr (row->title, ==, "pair");
  g_assert_true (g_uuid_string_is_valid (row->uid));
  g_assert_cmpint (bl_library_find_equipment (f->library, row->uid, NULL), ==, id);
  g_assert_cmpuint (row->n_conductors, ==, 1);
  g_assert_cmpuint (row->boards->len, ==, 2);
  g_assert_cmpstr (((BlEquipmentBoard *) g_ptr_array_index (row->boards, 1))->role, ==, "far");
  g_assert_cmpint (((BlEquipmentBoard *) g_ptr_array_index (row->boards, 1))->board, ==, boards[1]);
  joined = bl_library_join_equipment (f->library, id, NULL, &error);
  g_assert_no_error (error);
  g_assert_nonnull (bl_board_component (joined, "near/U2"));
  g_assert_nonnull (bl_board_stage (joined, "W3"));

  /* A board that is edited is edited in the equipment as well, and can break it. */
  edited = bl_library_load_board (f->library, boards[0], NULL);
  g_free (bl_board_component (edited, "U2")->value);
  bl_board_component (edited, "U2")->value = g_strdup ("LDO");
  g_assert_true (bl_library_save_board (f->library, boards[0], edited, NULL));
  again = bl_library_join_equipment (f->library, id, NULL, &error);
  g_assert_cmpstr (bl_board_component (again, "near/U2")->value, ==, "LDO");
  g_free (((BlPart *) bl_at (equipment->conductors, 0))->to);
  ((BlPart *) bl_at (equipment->conductors, 0))->to = g_strdup ("far/nowhere");
  g_assert_cmpint (bl_library_put_equipment (f->library, id, equipment, boards, &error), ==, 0);
  g_assert_nonnull (strstr (error->message, "nowhere"));
}

static void
test_delete (Fixture *f, gconstpointer data)
{
  gint64 boards[2], id = add_pair (f->library, boards);
  g_autoptr (GError) error = NULL;

  /* Needed. */
  g_assert_false (bl_library_delete_board (f->library, boards[1], &error));
  g_assert_nonnull (strstr (error->message, "pair"));
  g_clear_error (&error);
  /* Removed, then a board of it can go too. */
  g_assert_true (bl_library_delete_equipment (f->library, id, &error));
  g_assert_cmpuint (count (f->library), ==, 0);
  g_assert_true (bl_library_delete_board (f->library, boards[1], &error));
  g_assert_no_error (error);
  g_assert_false (bl_library_delete_equipment (f->library, id, &error));
  g_assert_error (error, BL_STORE_ERROR, BL_STORE_ERROR_NOT_FOUND);
}

/* The library in a file of its own. */
static void
reopen (Fixture *f)
{
  g_autoptr (GError) error = NULL;

  bl_library_close (f->library);
  f->library = bl_library_open (f->path, TRUE, &error);
  g_assert_no_error (error);
}

static gboolean
take_boards_step (BlLibrary *library, gboolean undo, GError **error)
{
  g_auto (BlStepTaken) taken = { 0 };

  return bl_library_take_step (library, BL_STEPS_BOARDS, 0, undo, &taken, error) && taken.id != 0;
}

/* Deleted, then a board of it, and both come back in turn, after the library was closed too. */
static void
test_delete_undone (Fixture *f, gconstpointer data)
{
  g_autoptr (GError) error = NULL;
  gint64 boards[2], id;

  reopen (f);
  id = add_pair (f->library, boards);

  g_assert_true (bl_library_begin_step (f->library, BL_STEPS_BOARDS, 0, "equipment", &error));
  g_assert_true (bl_library_end_step (f->library, bl_library_delete_equipment (f->library, id, &error), NULL, &error));
  g_assert_true (bl_library_begin_step (f->library, BL_STEPS_BOARDS, 0, "board", &error));
  g_assert_true (bl_library_end_step (f->library, bl_library_delete_board (f->library, boards[1], &error), NULL, &error));
  g_assert_no_error (error);
  reopen (f);
  g_assert_cmpuint (count (f->library), ==, 0);
  g_assert_true (take_boards_step (f->library, TRUE, &error));
  g_assert_cmpuint (count (f->library), ==, 0);
  g_assert_true (take_boards_step (f->library, TRUE, &error));
  g_assert_cmpuint (count (f->library), ==, 1);
  g_autoptr (BlBoard) joined = bl_library_join_equipment (f->library, id, NULL, &error);
  g_assert_no_error (error);
  g_assert_nonnull (joined);
  g_assert_true (take_boards_step (f->library, FALSE, &error));
  g_assert_true (take_boards_step (f->library, FALSE, &error));
  g_assert_no_error (error);
  g_assert_cmpuint (count (f->library), ==, 0);
  g_assert_null (bl_library_load_board (f->library, boards[1], NULL));
  g_assert_true (take_boards_step (f->library, TRUE, &error));
  g_assert_true (take_boards_step (f->library, TRUE, &error));
  g_assert_cmpuint (count (f->library), ==, 1);
}

static gint64
add_job_on (Fixture *f, gint64 equipment)
{
  g_autoptr (BlJob) job = bl_job_new ();
  g_autoptr (GError) error = NULL;

  job->equipment = equipment;
  gint64 id = bl_library_add_job (f->library, job, &error);
  g_assert_no_error (error);
  return id;
}

/* A job needs the equipment that it is about: deleting that is refused, and so is deleting it again by redo. */
static void
test_delete_with_job (Fixture *f, gconstpointer data)
{
  g_autoptr (GError) error = NULL;
  g_auto (BlStepTaken) taken = { 0 };
  gint64 boards[2], id = add_pair (f->library, boards);

  g_assert_true (bl_library_begin_step (f->library, BL_STEPS_BOARDS, 0, "equipment", &error));
  g_assert_true (bl_library_end_step (f->library, bl_library_delete_equipment (f->library, id, &error), NULL, &error));
  g_assert_true (take_boards_step (f->library, TRUE, &error));
  add_job_on (f, id);
  g_assert_false (bl_library_take_step (f->library, BL_STEPS_BOARDS, 0, FALSE, &taken, &error));
  g_assert_nonnull (strstr (error->message, "1 job"));
  g_clear_error (&error);
  g_assert_false (bl_library_delete_equipment (f->library, id, &error));
  g_assert_error (error, BL_STORE_ERROR, BL_STORE_ERROR_INVALID);
  g_assert_nonnull (strstr (error->message, "1 job"));
  g_assert_cmpuint (count (f->library), ==, 1);
}

static gint64
after_days (void)
{
  return g_get_real_time () + 3 * G_TIME_SPAN_DAY;
}

/* A job out of sight still names its equipment; that must not keep the steps of other days for ever. */
static void
test_forget_with_job (Fixture *f, gconstpointer data)
{
  g_autoptr (GError) error = NULL;
  gint64 boards[2], id;
  guint n = 0;

  reopen (f);
  id = add_pair (f->library, boards);
  g_assert_true (bl_library_remove_job (f->library, add_job_on (f, id), &error));
  g_assert_true (bl_library_begin_step (f->library, BL_STEPS_BOARDS, 0, "both", &error));
  g_assert_true (bl_library_delete_equipment (f->library, id, &error));
  g_assert_true (bl_library_end_step (f->library, bl_library_delete_board (f->library, boards[1], &error), NULL, &error));
  g_assert_no_error (error);
  bl_library_set_clock (after_days);
  reopen (f);
  bl_library_set_clock (NULL);
  bl_library_steps_size (f->library, &n);
  g_assert_cmpuint (n, ==, 0);
}

/* A removed one that is put again comes back under its number. */
static void
test_again (Fixture *f, gconstpointer data)
{
  gint64 boards[2], id = add_pair (f->library, boards);
  g_autoptr (GError) error = NULL;
  g_autoptr (BlEquipment) equipment = bl_library_get_equipment (f->library, id, &error);

  g_assert_cmpint (bl_library_put_equipment (f->library, 0, equipment, boards, &error), ==, 0);
  g_assert_error (error, BL_STORE_ERROR, BL_STORE_ERROR_INVALID);
  g_clear_error (&error);
  g_assert_true (bl_library_delete_equipment (f->library, id, &error));
  g_assert_cmpint (bl_library_put_equipment (f->library, 0, equipment, boards, &error), ==, id);
  g_assert_cmpuint (count (f->library), ==, 1);
}

static void
check_delivery (const BlDelivery *delivery)
{
  g_assert_nonnull (delivery->equipment);
  g_assert_cmpuint (delivery->boards->len, ==, 2);
  g_assert_cmpuint (delivery->members->len, ==, 2);
  g_assert_cmpuint (g_hash_table_size (delivery->photos), ==, 1);
  const BlBundle *bundle = g_ptr_array_index (delivery->boards, g_array_index (delivery->members, guint, 1));
  g_assert_cmpstr (bundle->board->board_number, ==, "RB-18");
  g_assert_cmpuint (g_hash_table_size (bundle->photos), ==, 1);
}

static void
test_bundle (Fixture *f, gconstpointer data)
{
  g_autofree char *again = scratch_file (f->folder, "again.benchlore"), *one = NULL, *two = NULL;
  g_autoptr (GError) error = NULL;
  g_autoptr (GPtrArray) problems = g_ptr_array_new_with_free_func ((GDestroyNotify) bl_problem_free);
  g_autoptr (BlDelivery) delivery = NULL, out = NULL, back = NULL;
  g_autoptr (BlBoard) look = NULL;
  gint64 ids[2], id;
  gsize length = 0, length_two = 0;

  make_zip (f->path, "equipment.json", PAIR ("n/board.json", "f/board.json"), "n/board.json", SAMPLE_DOCUMENT, "f/board.json",
            FAR_DOCUMENT, "n/photos/front.jpg", PICTURE_JPEG, "n/photos/Rückseite.png", PICTURE_PNG, "f/photos/front.jpg",
            PICTURE_PNG, "photos/box.webp", PICTURE_WEBP, NULL);
  delivery = bl_delivery_read (f->path, problems, &error);
  g_assert_no_error (error);
  check_delivery (delivery);
  look = bl_board_load_file (f->path, NULL, &error);
  g_assert_no_error (error);
  g_assert_nonnull (bl_board_stage (look, "far/rx"));

  for (guint i = 0; i < 2; i++)
    ids[i] = bl_library_import (f->library, g_ptr_array_index (delivery->boards, i), &error);
  id = bl_library_put_equipment (f->library, 0, delivery->equipment, ids, &error);
  g_assert_no_error (error);
  g_assert_true (bl_library_put_equipment_photo (f->library, id, "box", "image/webp",
                                                 g_hash_table_lookup (delivery->photos, "photos/box.webp"), &error));
  out = bl_library_export_equipment (f->library, id, &error);
  g_assert_no_error (error);
  g_assert_true (bl_delivery_write (out, again, &error));
  g_assert_no_error (error);
  back = bl_delivery_read (again, NULL, &error);
  g_assert_no_error (error);
  check_delivery (back);
  /* The same library gives the same bytes, and what was read is what was written. */
  g_assert_true (bl_delivery_write (back, f->path, &error));
  g_assert_true (g_file_get_contents (again, &one, &length, NULL));
  g_assert_true (g_file_get_contents (f->path, &two, &length_two, NULL));
  g_assert_cmpmem (one, length, two, length_two);
}

/* Bare documents beside each other, photos in one folder; two roles of one board. */
static void
test_bare (Fixture *f, gconstpointer data)
{
  g_autofree char *pair = scratch_file (f->folder, "pair.json"), *near = scratch_file (f->folder, "n.json");
  g_autoptr (GError) error = NULL;
  g_autoptr (BlDelivery) delivery = NULL;

  g_assert_true (g_file_set_contents (near, SAMPLE_DOCUMENT, -1, NULL));
  g_assert_true (g_file_set_contents (pair,
                                      "{\"format\": \"benchlore-equipment\", \"version\": 1, \"boards\": ["
                                      "{\"role\": \"one\", \"board\": \"n.json\"}, {\"role\": \"two\", \"board\": \"./n.json\"}]}",
                                      -1, NULL));
  delivery = bl_delivery_read (pair, NULL, &error);
  g_assert_no_error (error);
  g_assert_cmpuint (delivery->boards->len, ==, 1);
  g_assert_cmpuint (delivery->members->len, ==, 2);
  g_assert_true (bl_delivery_write (delivery, f->path, &error));
  g_assert_no_error (error);
  g_clear_pointer (&delivery, bl_delivery_free);
  delivery = bl_delivery_read (f->path, NULL, &error);
  g_assert_no_error (error);
  g_assert_cmpuint (delivery->boards->len, ==, 1);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
#define ADD(name, function) g_test_add ("/store/equipment/" name, Fixture, NULL, set_up, function, tear_down)
  ADD ("put", test_put);
  ADD ("delete", test_delete);
  ADD ("delete-undone", test_delete_undone);
  ADD ("delete-with-job", test_delete_with_job);
  ADD ("forget-with-job", test_forget_with_job);
  ADD ("again", test_again);
  ADD ("bundle", test_bundle);
  ADD ("bare", test_bare);
  return g_test_run ();
}
