/* SPDX-License-Identifier: GPL-3.0-or-later
 * The preview of a failure mode: classes by hand on the example, values that are judged as their class, the same
 * groups as the coverage where nothing is brought about, and what a likely link changes. */
#include "config.h"

#include "bl-preview.h"

#include "bl-coverage.h"
#include "fixture-demo.h"

#include <string.h>
#include <time.h>

/* A rail with its fuse; what is read of it. The short blows the fuse nine times in ten. */
static const char document[]
  = "{\"format\": \"benchlore-board\", \"version\": 1, \"states\": [{\"id\": \"off\", \"live\": false}, {\"id\": \"run\"}],"
    " \"sections\": [{\"id\": \"s\"}],"
    " \"stages\": [{\"id\": \"in\", \"section\": \"s\"}, {\"id\": \"rail\", \"section\": \"s\", \"feeds\": {\"from\": [\"in\"]}}],"
    " \"components\": ["
    "  {\"id\": \"F1\", \"kind\": \"fuse\", \"stage\": \"in\", \"modes\": [{\"mode\": \"open\", \"effects\": [{\"is\": \"absent\"}]}]},"
    "  {\"id\": \"C1\", \"kind\": \"capacitor\", \"stage\": \"rail\", \"modes\": ["
    "   {\"mode\": \"short\", \"effects\": [{\"is\": \"low\"}, {\"on\": \"R\", \"is\": \"shorted\"}],"
    "    \"provokes\": [{\"component\": \"F1\", \"mode\": \"open\", \"chance\": 0.9}]},"
    "   {\"mode\": \"open\"}]},"
    "  {\"id\": \"Q1\", \"kind\": \"transistor\", \"stage\": \"rail\", \"modes\": ["
    "   {\"mode\": \"short\", \"effects\": [{\"is\": \"absent\"}, {\"on\": \"R\", \"is\": \"shorted\"}]},"
    "   {\"mode\": \"open\", \"shows\": {\"\": 0.5}, \"effects\": [{\"is\": \"absent\"}]}]}],"
    " \"measurements\": ["
    "  {\"id\": \"IN\", \"measures\": \"V DC\", \"state\": \"run\", \"reads\": \"in\", \"expected\": {\"nominal\": 12, \"low\": 11.4, \"high\": 12.6}},"
    "  {\"id\": \"V\", \"measures\": \"V DC\", \"state\": \"run\", \"reads\": \"rail\", \"expected\": {\"nominal\": 12, \"low\": 11.4, \"high\": 12.6}},"
    "  {\"id\": \"R\", \"measures\": \"ohm\", \"state\": \"off\", \"expected\": {\"low\": 1000, \"shorted_below\": 5}}]}";

static BlBoard *
small_board (void)
{
  g_autoptr (GError) error = NULL;
  BlBoard *board = bl_document_parse (document, -1, NULL, &error);

  g_assert_no_error (error);
  return board;
}

static BlPreview *
preview (const BlBoard *board, const char *fault, const char *without)
{
  const char *const faults[] = { fault, NULL }, *const excluded[] = { without, NULL };
  g_autoptr (GError) error = NULL;
  BlPreview *made = bl_preview_new (board, faults, excluded, &error);

  g_assert_no_error (error);
  return made;
}

static void
assert_classes (const BlPreview *made, const char *in, const char *v, const char *r)
{
  const char *const expected[] = { in, v, r };

  for (guint i = 0; i < 3; i++)
    g_assert_cmpstr (((BlPreviewRow *) bl_at (made->rows, i))->class_name, ==, expected[i]);
}

static gboolean
has (const GPtrArray *names, const char *name)
{
  return g_ptr_array_find_with_equal_func ((GPtrArray *) names, name, g_str_equal, NULL);
}

static void
test_small (void)
{
  g_autoptr (BlBoard) board = small_board ();
  g_autoptr (BlPreview) blown = preview (board, "C1:short", NULL), whole = preview (board, "C1:short", "F1:open");
  g_autoptr (BlPreview) nothing = preview (board, "C1:open", NULL), times = preview (board, "Q1:open", NULL);
  const BlPreviewRow *resistance = bl_at (blown->rows, 2);

  /* The fuse is blown: nothing comes in, and absent comes before low. */
  assert_classes (blown, "absent", "absent", "shorted");
  g_assert_cmpuint (blown->n_changed, ==, 3);
  g_assert_cmpuint (blown->along->len, ==, 1);
  g_assert_true (((BlPreviewAlong *) bl_at (blown->along, 0))->there);
  g_assert_cmpfloat (((BlPreviewAlong *) bl_at (blown->along, 0))->chance, ==, 0.9);
  g_assert_cmpuint (blown->alike->len, ==, 0);
  /* The fuse alone differs by the ohms, the transistor by what comes in. */
  g_assert_cmpuint (blown->near->len, ==, 2);
  const BlPreviewNear *fuse = bl_at (blown->near, 0), *transistor = bl_at (blown->near, 1);
  g_assert_cmpstr (fuse->fault, ==, "F1:open");
  g_assert_cmpuint (fuse->measurement, ==, 2);
  g_assert_cmpstr (fuse->class_name, ==, "in band");
  g_assert_cmpstr (transistor->fault, ==, "Q1:short");
  g_assert_cmpuint (transistor->measurement, ==, 0);
  g_assert_cmpint (resistance->kind, ==, BL_READING_VALUE);
  g_assert_cmpfloat (resistance->high, <, 5);
  /* Where it did not blow. */
  assert_classes (whole, "in band", "low", "shorted");
  g_assert_false (((BlPreviewAlong *) bl_at (whole->along, 0))->there);
  g_assert_false (whole->at_times);
  /* What is not said is seen by nothing. */
  g_assert_cmpuint (nothing->n_changed, ==, 0);
  assert_classes (times, "in band", "absent", "in band");
  g_assert_true (times->at_times);
}

static void
test_several (void)
{
  static const char *const both[] = { "F1:open", "Q1:short", NULL }, *const wrong[] = { "F1:melted", NULL };
  g_autoptr (BlBoard) board = small_board ();
  g_autoptr (GError) error = NULL;
  g_autoptr (BlPreview) made = bl_preview_new (board, both, NULL, &error);

  g_assert_no_error (error);
  assert_classes (made, "absent", "absent", "shorted");
  g_assert_true (has (made->alike, "C1:short"));
  g_assert_null (bl_preview_new (board, wrong, NULL, &error));
  g_assert_error (error, BL_CORE_ERROR, BL_CORE_ERROR_UNKNOWN);
}

/* --- the demo boards --- */

/* Every value that a row tells is judged as the row's class. */
static guint
assert_values (const BlPreview *made)
{
  guint judged = 0;

  for (guint i = 0; i < made->rows->len; i++)
    {
      const BlPreviewRow *row = bl_at (made->rows, i);
      const double ends[] = { row->low, row->high };
      if (row->kind != BL_READING_VALUE)
        continue;
      for (guint end = 0; end < 2; end++, judged++)
        {
          BlReading reading = { .kind = BL_READING_VALUE, .value = ends[end] };
          g_autoptr (BlVerdict) verdict = bl_judge (row->band, &reading, NULL, NAN, 0);
          g_assert_cmpstr (verdict->classes[verdict->best], ==, row->class_name);
        }
      g_assert_cmpfloat (row->low, <=, row->high);
    }
  return judged;
}

static void
drop_links (BlBoard *board)
{
  for (guint c = 0; c < bl_len (board->components); c++)
    {
      const BlComponent *component = bl_at (board->components, c);
      for (guint m = 0; m < bl_len (component->modes); m++)
        g_clear_pointer (&((BlMode *) bl_at (component->modes, m))->provokes, g_ptr_array_unref);
    }
}

/* The group of a fault in the coverage is itself and what looks like it. */
static void
assert_group (const BlCoverage *coverage, const char *fault, const BlPreview *made)
{
  const GPtrArray *modes = has (coverage->invisible, fault) ? coverage->invisible : NULL;

  for (guint i = 0; i < coverage->groups->len && modes == NULL; i++)
    if (has (((BlCoverageGroup *) bl_at (coverage->groups, i))->modes, fault))
      modes = ((BlCoverageGroup *) bl_at (coverage->groups, i))->modes;
  g_assert_nonnull (modes);
  g_assert_cmpuint (modes->len, ==, made->alike->len + 1);
  for (guint i = 0; i < made->alike->len; i++)
    g_assert_true (has (modes, bl_at (made->alike, i)));
}

static void
test_demo (gconstpointer name)
{
  g_autoptr (BlBoard) board = demo_board (name), bare = bl_board_copy (board);
  g_autoptr (BlCoverage) coverage = NULL;
  double worst = 0;
  guint judged = 0;

  drop_links (bare);
  coverage = bl_coverage_new (bare, FALSE, NULL, NULL);
  for (guint c = 0; c < bl_len (board->components); c++)
    {
      const BlComponent *component = bl_at (board->components, c);
      for (guint m = 0; m < bl_len (component->modes); m++)
        {
          g_autofree char *fault = g_strconcat (component->id, ":", ((BlMode *) bl_at (component->modes, m))->mode, NULL);
          clock_t begun = clock ();
          if ((c + m) % 8 != 0)
            continue;
          g_autoptr (BlPreview) made = preview (board, fault, NULL);
          worst = MAX (worst, 1000.0 * (double) (clock () - begun) / CLOCKS_PER_SEC);
          g_autoptr (BlPreview) alone = preview (bare, fault, NULL);
          g_assert_cmpuint (made->rows->len, ==, bl_len (board->measurements));
          judged += assert_values (made);
          assert_group (coverage, fault, alone);
        }
    }
  g_test_message ("%s: slowest preview %.1f ms of processor time, %u values judged", (const char *) name, worst, judged);
  g_assert_cmpuint (judged, >, 500);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/core/preview/small", test_small);
  g_test_add_func ("/core/preview/several", test_several);
  g_test_add_data_func ("/core/preview/roof-board", "roof-board.json", test_demo);
  g_test_add_data_func ("/core/preview/wall-board", "wall-board.json", test_demo);
  return g_test_run ();
}
