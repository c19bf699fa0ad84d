/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Drawn readings: on the demo boards every reading, judged with an exact meter, must show the class
 * that the board's model gives it, for every mode with a seed of its own; and the values must be possible
 * together. Coverage: a published testability example and the same figures counted another way. */
#undef G_DISABLE_ASSERT
#include "bl-document.h"
#include "bl-response.h"
#include "bl-coverage.h"
#include "bl-simulate.h"

#include <jansson.h>
#include <string.h>

static BlBoard *
parse_board (const char *text)
{
  g_autoptr (GError) error = NULL;
  BlBoard *board = bl_document_parse (text, -1, NULL, &error);

  g_assert_no_error (error);
  return board;
}

static BlBoard *
demo_board (const char *name)
{
  g_autofree char *path =
    g_test_build_filename (G_TEST_DIST, "..", "data", "demo", name, NULL);
  g_autofree char *text = NULL;
  g_autoptr (GError) error = NULL;

  g_file_get_contents (path, &text, NULL, &error);
  g_assert_no_error (error);
  return parse_board (text);
}

/* Makes every link and show event certain, so that the class of every measurement is. */
static void
make_certain (BlBoard *board)
{
  for (guint i = 0; i < bl_len (board->components); i++)
    {
      BlComponent *component = bl_at (board->components, i);

      for (guint j = 0; j < bl_len (component->modes); j++)
        {
          BlMode *mode = bl_at (component->modes, j);

          g_clear_pointer (&mode->shows, g_array_unref);
          for (guint k = 0; k < bl_len (mode->provokes); k++)
            ((BlProvokes *) bl_at (mode->provokes, k))->chance = 1;
        }
    }
}

/* The classes with this mode and all that it provokes active. */
static guint8 *
classes_of (const BlBoard *board, const BlResponse *response, int mode)
{
  g_autofree guint8 *active = g_new0 (guint8, bl_response_n_modes (response));
  g_autofree guint8 *fired = g_new (guint8, bl_response_links (response)->len + 1);
  guint8 *classes = g_new0 (guint8, board->measurements->len);

  memset (fired, 1, bl_response_links (response)->len + 1);
  active[mode] = 1;
  bl_response_spread (response, active, fired, active);
  bl_response_evaluate (response, active, classes);
  return classes;
}

/* A class that no value can show as: its band lacks the limit. */
static gboolean
is_unreachable (const BlBand *band, const char *name)
{
  return (strcmp (name, "open") == 0 && isnan (band->open_above)) ||
         (strcmp (name, "shorted") == 0 && isnan (band->shorted_below)) ||
         (strcmp (name, "absent") == 0 && isnan (band->absent_below)) ||
         (g_str_has_prefix (name, "still") && band->span_below == 0) ||
         (strcmp (name, "high") == 0 && isinf (band->high)) ||
         (strcmp (name, "low") == 0 && isinf (band->low));
}

static guint
check_drawn (const BlBoard *board, const BlResponse *response, guint mode, guint seed)
{
  g_autofree char *fault = g_strconcat (bl_response_component (response, mode), ":",
                                        bl_response_mode (response, mode), NULL);
  const char *faults[] = { fault, NULL };
  g_autoptr (GError) error = NULL;
  g_autoptr (GPtrArray) entries = bl_simulate (board, faults, seed, "", &error);
  g_autoptr (GPtrArray) judged = bl_evidence_judge (board, entries, NULL);
  g_autofree guint8 *expected = classes_of (board, response, (int) mode);
  guint checked = 0;

  g_assert_no_error (error);
  g_assert_cmpuint (judged->len, ==, board->measurements->len);
  for (guint i = 0; i < judged->len; i++)
    {
      const BlJudged *self = judged->pdata[i];
      const char *name = bl_response_class_name (response, i, expected[i]);

      if (self->band == NULL || is_unreachable (self->band, name))
        continue;
      checked++;
      if (strcmp (bl_verdict_label (self->verdict), name) != 0)
        g_error ("%s seed %u: %s reads %s, which is %s instead of %s", fault, seed,
                 self->measurement->id, self->entry->text, bl_verdict_label (self->verdict), name);
    }
  return checked;
}

static void
test_classes (gconstpointer name)
{
  g_autoptr (BlBoard) board = demo_board (name);
  g_autoptr (BlResponse) response = NULL;
  guint checked = 0, drawn = 0;

  make_certain (board);
  response = bl_response_new (board, NULL);
  for (guint mode = 0; mode < bl_response_n_modes (response); mode++)
    {
      checked += check_drawn (board, response, mode, mode + 1);
      drawn += board->measurements->len;
    }
  g_test_message ("%u of %u drawn readings judged", checked, drawn);
  g_assert_cmpuint (checked, >, drawn * 9 / 10);
}

/* --- Possible together ------------------------------------------------------------------------ */

/* bulk 325 V feeds a 12 V rail, which feeds a 5 V rail that tolerates a low or high 12 V, a 3.3 V
 * follower that doesn't, and a relay coil that drops out. */
static const char rails[] =
  "{\"format\":\"benchlore-board\",\"version\":1,"
  "\"states\":[{\"id\":\"run\",\"live\":true}],"
  "\"sections\":[{\"id\":\"supply\",\"kind\":\"supply\"}],"
  "\"stages\":[{\"id\":\"rail12\",\"section\":\"supply\"},"
  "{\"id\":\"rail5\",\"section\":\"supply\",\"feeds\":{\"from\":[{\"stage\":\"rail12\","
  "\"passes\":{\"high\":\"in band\",\"low\":\"in band\"}}]}},"
  "{\"id\":\"rail9\",\"section\":\"supply\",\"feeds\":{\"from\":[\"rail12\"]}},"
  "{\"id\":\"coil\",\"section\":\"supply\",\"feeds\":{\"from\":[{\"stage\":\"rail12\","
  "\"passes\":{\"low\":\"absent\"}}]}}],"
  "\"measurements\":["
  "{\"id\":\"A\",\"measures\":\"V DC\",\"state\":\"run\",\"reads\":\"rail12\","
  "\"expected\":{\"nominal\":12,\"low\":11.4,\"high\":12.6,\"marks\":[{\"id\":\"half\",\"low\":5,\"high\":7}]}},"
  "{\"id\":\"B\",\"measures\":\"V DC\",\"state\":\"run\",\"reads\":\"rail12\","
  "\"expected\":{\"nominal\":12,\"low\":11,\"high\":13}},"
  "{\"id\":\"C\",\"measures\":\"V DC\",\"state\":\"run\",\"reads\":\"rail5\","
  "\"expected\":{\"nominal\":5,\"tolerance\":\"4 %\"}},"
  "{\"id\":\"D\",\"measures\":\"V DC\",\"state\":\"run\",\"reads\":\"rail9\","
  "\"expected\":{\"nominal\":9,\"tolerance\":\"5 %\"}},"
  "{\"id\":\"E\",\"measures\":\"V DC\",\"state\":\"run\",\"reads\":\"coil\","
  "\"expected\":{\"nominal\":12,\"low\":9,\"high\":13}}]}";

static double
value_of (GPtrArray *entries, guint index)
{
  return ((BlEntry *) entries->pdata[index])->reading.value;
}

/* 12 V low by itself: both its points agree within the noise of a reading, the 5 V rail that stays
 * in band has more than 5 V to live on, the follower has no more of its nominal than its feed. */
static void
test_coherent_low (void)
{
  const char *faults[] = { "rail12/other:low", NULL };
  g_autoptr (BlBoard) board = parse_board (rails);
  double least = INFINITY, most = 0;

  for (guint seed = 0; seed < 100; seed++)
    {
      g_autoptr (GPtrArray) entries = bl_simulate (board, faults, seed, NULL, NULL);
      double a = value_of (entries, 0), b = value_of (entries, 1), c = value_of (entries, 2);
      double d = value_of (entries, 3), e = value_of (entries, 4);

      g_assert_cmpfloat (fabs (a - b), <, 0.35); /* 0.1 V where A steps around its mark */
      g_assert_cmpfloat (a, >, c);
      g_assert_cmpfloat (c, >=, 4.8);
      g_assert_cmpfloat (d / 9, <=, MAX (a, b) / 12 * 1.01);
      g_assert_cmpfloat (e, <, 1.2);
      least = MIN (least, b);
      most = MAX (most, b);
    }
  g_assert_cmpfloat (most - least, >, 1); /* not one canned board */
}

/* On the demo board a low 12 V rail takes the 5 V rail along, and the 3.3 V rail below that stays in
 * band: it must have more than 3.3 V to live on. */
static void
test_coherent_demo (void)
{
  const char *faults[] = { "rail12/other:low", NULL };
  g_autoptr (BlBoard) board = demo_board ("wall-board.json");

  for (guint seed = 0; seed < 50; seed++)
    {
      g_autoptr (GPtrArray) entries = bl_simulate (board, faults, seed, NULL, NULL);
      double v12 = NAN, v5 = NAN, v3 = NAN;

      for (guint i = 0; i < entries->len; i++)
        {
          const BlEntry *entry = entries->pdata[i];

          if (strcmp (entry->subject, "V12") == 0)
            v12 = entry->reading.value;
          else if (strcmp (entry->subject, "V5") == 0)
            v5 = entry->reading.value;
          else if (strcmp (entry->subject, "V3") == 0)
            v3 = entry->reading.value;
        }
      g_assert_cmpfloat (v3, >=, 3.23);
      g_assert_cmpfloat (v5, >, v3 + 0.2);
      g_assert_cmpfloat (v12 / 12.2, >=, v5 / 5 * 0.99);
    }
}

/* Both low for reasons of their own: the follower is still no healthier than its feed. */
static void
test_coherent_both (void)
{
  const char *faults[] = { "rail12/other:low", "rail9/other:low", NULL };
  g_autoptr (BlBoard) board = parse_board (rails);

  for (guint seed = 0; seed < 100; seed++)
    {
      g_autoptr (GPtrArray) entries = bl_simulate (board, faults, seed, NULL, NULL);

      g_assert_cmpfloat (value_of (entries, 3) / 9, <=, value_of (entries, 1) / 12 * 1.01);
    }
}

static void
test_coherent_absent (void)
{
  const char *faults[] = { "rail12/other:absent", NULL };
  g_autoptr (BlBoard) board = parse_board (rails);

  for (guint seed = 0; seed < 100; seed++)
    {
      g_autoptr (GPtrArray) entries = bl_simulate (board, faults, seed, NULL, NULL);

      for (guint i = 2; i < 5; i++)
        g_assert_cmpfloat (value_of (entries, i), <=, value_of (entries, 0) + 0.005);
      g_assert_cmpfloat (value_of (entries, 0), >=, 0);
    }
}

/* --- Seeds, chances, names -------------------------------------------------------------------- */

static char *
as_text (GPtrArray *entries)
{
  GString *out = g_string_new (NULL);

  for (guint i = 0; i < entries->len; i++)
    {
      g_autofree char *line = bl_entry_to_csv (entries->pdata[i]);

      g_string_append_printf (out, "%s\n", line);
    }
  return g_string_free (out, FALSE);
}

static void
test_seed (void)
{
  const char *faults[] = { "rail12/other:low", NULL };
  g_autoptr (BlBoard) board = parse_board (rails);
  g_autoptr (GPtrArray) one = bl_simulate (board, faults, 7, NULL, NULL);
  g_autoptr (GPtrArray) two = bl_simulate (board, faults, 7, NULL, NULL);
  g_autoptr (GPtrArray) three = bl_simulate (board, faults, 8, NULL, NULL);
  g_autofree char *a = as_text (one), *b = as_text (two), *c = as_text (three);

  g_assert_cmpstr (a, ==, b);
  g_assert_cmpstr (a, !=, c);
}

/* The followed reading is unsteady, a range: the limits given hold for the one that follows. */
static void
test_follows_range (void)
{
  static const char text[] =
      "{\"format\":\"benchlore-board\",\"version\":1,\"states\":[{\"id\":\"run\"}],"
      "\"sections\":[{\"id\":\"s\",\"kind\":\"supply\"}],\"stages\":[{\"id\":\"a\",\"section\":\"s\"},"
      "{\"id\":\"b\",\"section\":\"s\"}],\"measurements\":[{\"id\":\"M1\",\"measures\":\"V DC\",\"state\":\"run\","
      "\"reads\":\"a\",\"expected\":{\"nominal\":300,\"low\":290,\"high\":310}},{\"id\":\"M2\",\"measures\":\"V DC\","
      "\"state\":\"run\",\"reads\":\"b\",\"expected\":{\"nominal\":15,\"low\":14,\"high\":16,\"follows\":"
      "{\"measurement\":\"M1\",\"points\":[[0,2],[300,15]],\"tolerance\":0.05}}}]}";
  g_autoptr (BlBoard) board = parse_board (text);
  const char *unsteady[] = { "a/other:unsteady", NULL }, *low[] = { "a/other:low", NULL };

  for (guint32 seed = 1; seed < 20; seed++)
    {
      g_autoptr (GPtrArray) range = bl_simulate (board, unsteady, seed, NULL, NULL);
      g_autoptr (GPtrArray) value = bl_simulate (board, low, seed, NULL, NULL);
      const BlReading *first = &((BlEntry *) bl_at (range, 0))->reading;
      double follower = ((BlEntry *) bl_at (range, 1))->reading.value;
      double followed = ((BlEntry *) bl_at (value, 0))->reading.value, on_line = 2 + 13 * followed / 300;

      g_assert_cmpint (first->kind, ==, BL_READING_RANGE);
      g_assert_cmpfloat (follower, >=, 14);
      g_assert_cmpfloat (follower, <=, 16);
      follower = ((BlEntry *) bl_at (value, 1))->reading.value;
      g_assert_cmpfloat (followed, <, 290);
      g_assert_cmpfloat_with_epsilon (follower, on_line, on_line * 0.05);
    }
}

/* A mode that shows in 3 rounds of 10 dry and always when wet; a link of chance 0.2. The counts of
 * 1000 seeds are within four standard deviations of the binomial. */
static void
test_chances (void)
{
  static const char text[] =
      "{\"format\":\"benchlore-board\",\"version\":1,\"states\":[{\"id\":\"run\"}],"
      "\"sections\":[{\"id\":\"s\",\"kind\":\"supply\"}],\"stages\":[{\"id\":\"a\",\"section\":\"s\"},"
      "{\"id\":\"b\",\"section\":\"s\"}],\"components\":[{\"id\":\"X\",\"kind\":\"connector\",\"stage\":\"a\","
      "\"modes\":[{\"mode\":\"poor\",\"shows\":{\"\":0.3,\"wet\":1},\"effects\":[{\"is\":\"absent\"}],"
      "\"provokes\":[{\"component\":\"Y\",\"mode\":\"open\",\"chance\":0.2}]}]},"
      "{\"id\":\"Y\",\"kind\":\"fuse\",\"stage\":\"b\",\"modes\":[{\"mode\":\"open\",\"effects\":[{\"is\":\"absent\"}]}]}],"
      "\"measurements\":[{\"id\":\"A\",\"measures\":\"check\",\"state\":\"run\",\"reads\":\"a\"},"
      "{\"id\":\"B\",\"measures\":\"check\",\"state\":\"run\",\"reads\":\"b\"}]}";
  const char *faults[] = { "X:poor", NULL };
  g_autoptr (BlBoard) board = parse_board (text);
  guint dry = 0, wet = 0, provoked = 0;

  for (guint seed = 0; seed < 1000; seed++)
    {
      g_autoptr (GPtrArray) one = bl_simulate (board, faults, seed, "", NULL);
      g_autoptr (GPtrArray) two = bl_simulate (board, faults, seed, "wet", NULL);

      dry += !((BlEntry *) one->pdata[0])->reading.answer;
      wet += !((BlEntry *) two->pdata[0])->reading.answer;
      provoked += !((BlEntry *) one->pdata[1])->reading.answer;
    }
  g_assert_cmpuint (wet, ==, 1000);
  g_assert_cmpfloat (fabs (dry - 300.), <, 4 * sqrt (1000 * 0.3 * 0.7));
  g_assert_cmpfloat (fabs (provoked - 200.), <, 4 * sqrt (1000 * 0.2 * 0.8));
}

static void
test_unknown (void)
{
  static const char *const bad[] = { "rail12", "rail12:low", "rail12/other:open", "", ":" };
  g_autoptr (BlBoard) board = parse_board (rails);

  for (gsize i = 0; i < G_N_ELEMENTS (bad); i++)
    {
      const char *faults[] = { bad[i], NULL };
      g_autoptr (GError) error = NULL;

      g_assert_null (bl_simulate (board, faults, 1, NULL, &error));
      g_assert_error (error, BL_CORE_ERROR, BL_CORE_ERROR_UNKNOWN);
    }
}

/* --- Coverage --------------------------------------------------------------------------------- */

/* A chain of five items and tests after some of them. */
static BlBoard *
chain (const char *const *measured)
{
  g_autoptr (GString) text = g_string_new (
    "{\"format\":\"benchlore-board\",\"version\":1,\"states\":[{\"id\":\"run\"}],"
    "\"sections\":[{\"id\":\"s\",\"kind\":\"supply\"}],\"stages\":[");

  for (int i = 1; i <= 5; i++)
    g_string_append_printf (text, "%s{\"id\":\"s%d\",\"section\":\"s\"%s%s%s}", i > 1 ? "," : "", i,
                            i > 1 ? ",\"feeds\":{\"from\":[\"s" : "",
                            i == 2   ? "1"
                            : i == 3 ? "2"
                            : i == 4 ? "3"
                            : i == 5 ? "4"
                                     : "",
                            i > 1 ? "\"]}" : "");
  g_string_append (text, "],\"components\":[");
  for (int i = 1; i <= 5; i++)
    g_string_append_printf (text,
                            "%s{\"id\":\"c%d\",\"kind\":\"fuse\",\"stage\":\"s%d\",\"modes\":[{\"mode\":"
                            "\"open\",\"weight\":%d,\"effects\":[{\"is\":\"absent\"}]}]}",
                            i > 1 ? "," : "", i, i, i);
  g_string_append (text, "],\"measurements\":[");
  for (int i = 0; measured[i] != NULL; i++)
    g_string_append_printf (text,
                            "%s{\"id\":\"m%d\",\"measures\":\"check\",\"state\":\"run\",\"reads\":\"%s\"}",
                            i > 0 ? "," : "", i, measured[i]);
  g_string_append (text, "]}");
  return parse_board (text->str);
}

static json_t *
coverage_of (const BlBoard *board)
{
  g_autoptr (GError) error = NULL;
  g_autofree char *text = bl_coverage_json (board, &error);
  json_t *object = json_loads (text, 0, NULL);

  g_assert_no_error (error);
  g_assert_nonnull (object);
  return object;
}

static double
isolated_to (json_t *object, const char *most)
{
  return json_real_value (json_object_get (json_object_get (object, "isolated"), most));
}

/* Weights 1 to 5 along the chain. Measured after s2 and s4: groups {c1, c2} of 3 and {c3, c4} of 7,
 * c5 unseen; nothing isolated to one, all to two (worked out by hand; fraction isolated to L items
 * over detected as in the testability literature, from memory). */
static void
test_coverage_chain (void)
{
  const char *two[] = { "s2", "s4", NULL }, *some[] = { "s1", "s4", NULL };
  g_autoptr (BlBoard) board = chain (two), uneven = chain (some);
  json_t *object = coverage_of (board), *other = coverage_of (uneven);
  json_t *groups = json_object_get (object, "groups");

  g_assert_cmpuint (json_array_size (groups), ==, 2);
  g_assert_cmpfloat (json_real_value (json_object_get (json_array_get (groups, 0), "weight")), ==, 7);
  g_assert_cmpstr (json_string_value (json_array_get (
                     json_object_get (json_array_get (groups, 0), "modes"), 1)),
                   ==, "c4:open");
  g_assert_cmpstr (json_string_value (json_array_get (json_object_get (object, "invisible"), 0)), ==,
                   "c5:open");
  g_assert_cmpstr (
    json_string_value (json_array_get (json_object_get (object, "unmeasured_stages"), 0)), ==, "s5");
  g_assert_cmpfloat (isolated_to (object, "1"), ==, 0);
  g_assert_cmpfloat (isolated_to (object, "2"), ==, 1);
  /* after s1 and s4: {c1} of 1, {c2, c3, c4} of 9 */
  g_assert_cmpfloat_with_epsilon (isolated_to (other, "1"), 0.1, 1e-12);
  g_assert_cmpfloat_with_epsilon (isolated_to (other, "2"), 0.1, 1e-12);
  g_assert_cmpfloat_with_epsilon (isolated_to (other, "3"), 1, 1e-12);
  json_decref (object);
  json_decref (other);
}

/* On a demo board: every documented mode is in one group or invisible, and the weights add up. */
static void
test_coverage_demo (void)
{
  g_autoptr (BlBoard) board = demo_board ("wall-board.json");
  json_t *object = coverage_of (board), *group;
  guint modes = 0;
  double weight = 0, documented = 0;
  gsize i;

  json_array_foreach (json_object_get (object, "groups"), i, group)
    {
      modes += (guint) json_array_size (json_object_get (group, "modes"));
      weight += json_real_value (json_object_get (group, "weight"));
    }
  modes += (guint) json_array_size (json_object_get (object, "invisible"));
  for (guint c = 0; c < board->components->len; c++)
    {
      const BlComponent *component = bl_at (board->components, c);

      for (guint m = 0; m < bl_len (component->modes); m++, modes--)
        documented += bl_board_mode_weight (board, component, bl_at (component->modes, m));
    }
  g_assert_cmpuint (modes, ==, 0);
  g_assert_cmpfloat (weight, <=, documented * (1 + 1e-12));
  g_assert_cmpfloat (isolated_to (object, "1"), <=, isolated_to (object, "2"));
  g_assert_cmpfloat (isolated_to (object, "2"), <=, isolated_to (object, "3"));
  json_decref (object);
}

int
main (int argc, char *argv[])
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_data_func ("/core/simulate/classes/wall", "wall-board.json", test_classes);
  g_test_add_data_func ("/core/simulate/classes/roof", "roof-board.json", test_classes);
  g_test_add_func ("/core/simulate/coherent-low", test_coherent_low);
  g_test_add_func ("/core/simulate/coherent-demo", test_coherent_demo);
  g_test_add_func ("/core/simulate/coherent-both", test_coherent_both);
  g_test_add_func ("/core/simulate/coherent-absent", test_coherent_absent);
  g_test_add_func ("/core/simulate/seed", test_seed);
  g_test_add_func ("/core/simulate/follows-range", test_follows_range);
  g_test_add_func ("/core/simulate/chances", test_chances);
  g_test_add_func ("/core/simulate/unknown", test_unknown);
  g_test_add_func ("/core/coverage/chain", test_coverage_chain);
  g_test_add_func ("/core/coverage/demo", test_coverage_demo);
  return g_test_run ();
}
