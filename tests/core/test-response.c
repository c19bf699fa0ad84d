/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The direct evaluation: precedence, feeds that pass deviations on, feeds of which some suffice,
 * direct effects, effects limited to states, series parts, links. Expected classes are worked out by
 * hand from the rules, beside each row; the feeds also against a count over all masks. */
#undef G_DISABLE_ASSERT
#include "bl-response.h"
#include "fixture-board.h"

#include <string.h>

static void
add_stage (BlBoard *board, const char *id, int need, const char *feeds)
{
  g_auto (GStrv) names = g_strsplit (feeds, " ", -1);
  BlStage *stage = bl_stage_new ();

  stage->id = g_strdup (id);
  stage->section = g_strdup ("supply");
  stage->need = need;
  for (guint i = 0; *feeds != '\0' && names[i] != NULL; i++)
    {
      BlFeed *feed = bl_feed_new ();

      feed->from = g_strdup (names[i]);
      bl_append (&stage->feeds, feed, (GDestroyNotify) bl_feed_free);
    }
  bl_append (&board->stages, stage, (GDestroyNotify) bl_stage_free);
}

static void
pass (BlPasses *passes, BlDeviation from, BlDeviation to)
{
  passes->set = TRUE;
  passes->to[from] = (int) to;
}

static BlMode *
add_mode (BlBoard *board, const char *component, const char *stage, const char *name)
{
  BlComponent *part = bl_board_component (board, component);
  BlMode *mode = bl_mode_new ();

  if (part == NULL)
    {
      part = bl_component_new ();
      part->id = g_strdup (component);
      part->stage = g_strdup (stage);
      bl_append (&board->components, part, (GDestroyNotify) bl_component_free);
    }
  mode->mode = g_strdup (name);
  bl_append (&part->modes, mode, (GDestroyNotify) bl_mode_free);
  return mode;
}

static void
add_effect (BlMode *mode, const char *on, const char *is, const char *in)
{
  BlEffect *effect = bl_effect_new ();

  effect->on = g_strdup (on);
  effect->is = g_strsplit (is, ",", -1);
  effect->in = in != NULL ? g_strsplit (in, ",", -1) : NULL;
  bl_append (&mode->effects, effect, (GDestroyNotify) bl_effect_free);
}

static void
add_state (BlBoard *board, const char *id)
{
  BlState *state = bl_state_new ();

  state->id = g_strdup (id);
  bl_append (&board->states, state, (GDestroyNotify) bl_state_free);
}

static BlMeasurement *
add_measurement (BlBoard *board, const char *id, BlMeasures measures, const char *state, const char *reads)
{
  BlMeasurement *m = measurement (id, measures, 5, 4.8, 5.2);

  m->state = g_strdup (state);
  m->reads = g_strdup (reads);
  bl_append (&board->measurements, m, (GDestroyNotify) bl_measurement_free);
  return m;
}

/* bulk -> rail12 -> rail5 (which turns high into in band), a link RX with port, a fuse read through
 * in series, a swing and a check on rail5. */
static BlBoard *
make_board (void)
{
  BlBoard *board = bl_board_new ();
  BlMode *mode;
  BlMeasurement *m;
  BlProvokes *provokes = bl_provokes_new ();

  add_state (board, "off");
  add_state (board, "run");
  add_stage (board, "rail5", BL_NEED_LEFT_OUT, "rail12 port:S"); /* before its feed, on purpose */
  add_stage (board, "rail12", BL_NEED_LEFT_OUT, "bulk");
  add_stage (board, "bulk", BL_NEED_LEFT_OUT, "");
  pass (&((BlFeed *) bl_at (bl_board_stage (board, "rail5")->feeds, 0))->passes, BL_HIGH, BL_IN_BAND);
  mode = add_mode (board, "F1", "bulk", "open");
  add_effect (mode, NULL, "absent", NULL);
  add_effect (mode, "M9", "open", NULL);
  mode = add_mode (board, "U2", "rail5", "open");
  add_effect (mode, NULL, "absent", NULL);
  mode = add_mode (board, "U2", "rail5", "short");
  add_effect (mode, NULL, "high", NULL);
  add_effect (mode, "rail12", "low", "run");
  add_effect (mode, "M9", "shorted", NULL);
  provokes->component = g_strdup ("F1");
  provokes->mode = g_strdup ("open");
  provokes->chance = 0.2;
  bl_append (&mode->provokes, provokes, (GDestroyNotify) bl_provokes_free);
  add_measurement (board, "M5", BL_MEASURES_V_DC, "run", "rail5");
  add_measurement (board, "M12", BL_MEASURES_V_DC, "run", "rail12");
  add_measurement (board, "M12off", BL_MEASURES_V_DC, "off", "rail12");
  m = add_measurement (board, "M9", BL_MEASURES_OHM, "off", NULL);
  m->series = 1;
  m = add_measurement (board, "SW", BL_MEASURES_SWING, "run", "rail5");
  m->expected.has_min = m->expected.has_max = TRUE;
  m->expected.min[0] = m->expected.min[1] = quantity (0);
  m->expected.max[0] = m->expected.max[1] = quantity (5);
  add_measurement (board, "V1", BL_MEASURES_CHECK, "run", "rail5");
  return board;
}

static void
assert_shows (const BlResponse *response, const char *faults, const char *expected)
{
  g_auto (GStrv) names = g_strsplit (expected, ",", -1), modes = g_strsplit (faults, " ", -1);
  g_autofree guint8 *active = g_new0 (guint8, bl_response_n_modes (response));
  g_autofree guint8 *classes = g_new0 (guint8, g_strv_length (names));

  for (guint i = 0; *faults != '\0' && modes[i] != NULL; i++)
    {
      g_auto (GStrv) pair = g_strsplit (modes[i], ":", 2);
      int index = bl_response_find (response, pair[0], pair[1]);

      g_assert_cmpint (index, >=, 0);
      active[index] = 1;
    }
  bl_response_evaluate (response, active, classes);
  for (guint i = 0; names[i] != NULL; i++)
    if (strcmp (bl_response_class_name (response, i, classes[i]), names[i]) != 0)
      g_error ("%s, measurement %u: %s instead of %s", faults, i,
               bl_response_class_name (response, i, classes[i]), names[i]);
}

static void
test_classes (void)
{
  g_autoptr (BlBoard) board = make_board ();
  g_autoptr (GError) error = NULL;
  g_autoptr (BlResponse) response = bl_response_new (board, &error);

  g_assert_no_error (error);
  /*                                M5       M12     M12off  M9       SW         V1 */
  assert_shows (response, "", "in band,in band,in band,in band,in band,as expected");
  assert_shows (response, "F1:open", "absent,absent,absent,open,still low,deviates");
  assert_shows (response, "U2:open", "absent,in band,in band,in band,still low,deviates");
  /* low comes before high; off the short does not pull rail12 down */
  assert_shows (response, "U2:short", "low,low,in band,shorted,low,deviates");
  /* through the fuse, open comes before shorted */
  assert_shows (response, "U2:short F1:open", "absent,absent,absent,open,still low,deviates");
  assert_shows (response, "rail12/other:high", "in band,high,high,in band,in band,as expected");
  assert_shows (response, "rail12/other:unsteady",
                "unsteady,unsteady,unsteady,in band,low,deviates");
  assert_shows (response, "rail12/other:low U2:open", "absent,low,low,in band,still low,deviates");
  assert_shows (response, "rail5/other:high", "high,in band,in band,in band,high,deviates");
}

/* Every need of three feeds with every mask at each, against the rule counted directly. */
static void
test_feeds (void)
{
  for (int need = 1; need <= 3; need++)
    {
      g_autoptr (BlBoard) board = bl_board_new ();
      g_autoptr (BlResponse) response = NULL;
      g_autofree guint8 *active = NULL;
      guint8 masks[4];

      add_stage (board, "a", BL_NEED_LEFT_OUT, "");
      add_stage (board, "b", BL_NEED_LEFT_OUT, "");
      add_stage (board, "c", BL_NEED_LEFT_OUT, "");
      add_stage (board, "z", need == 3 ? BL_NEED_ALL : need == 1 ? BL_NEED_ANY : need, "a b c");
      response = bl_response_new (board, NULL);
      active = g_new0 (guint8, bl_response_n_modes (response));
      for (guint word = 0; word < 1u << 12; word++)
        {
          static const BlDeviation order[] = { BL_ABSENT, BL_LOW, BL_UNSTEADY, BL_HIGH };

          for (guint i = 0; i < 12; i++)
            active[i] = (word >> i) & 1;
          bl_response_stages (response, active, -1, masks);
          for (int d = 0; d < BL_N_DEVIATIONS; d++)
            {
              int count = 0;
              gboolean itself = FALSE;

              for (guint feed = 0; feed < 3; feed++)
                {
                  gboolean worse = FALSE;

                  for (guint j = 0; j < 4; j++)
                    if (active[4 * feed + j])
                      {
                        worse |= (int) order[j] <= d;
                        itself |= (int) order[j] == d;
                      }
                  count += worse;
                }
              g_assert_cmpint ((masks[3] >> d) & 1, ==, itself && count >= 3 - need + 1);
            }
        }
    }
}

static void
test_links (void)
{
  g_autoptr (BlBoard) board = make_board ();
  g_autoptr (BlResponse) response = bl_response_new (board, NULL);
  g_autofree guint8 *own = g_new0 (guint8, bl_response_n_modes (response));
  g_autofree guint8 *present = g_new0 (guint8, bl_response_n_modes (response));
  const GArray *links = bl_response_links (response);
  guint8 fired = 0;

  g_assert_cmpuint (links->len, ==, 1);
  g_assert_cmpfloat (g_array_index (links, BlResponseLink, 0).chance, ==, 0.2);
  own[bl_response_find (response, "U2", "short")] = 1;
  bl_response_spread (response, own, &fired, present);
  g_assert_false (present[bl_response_find (response, "F1", "open")]);
  fired = 1;
  bl_response_spread (response, own, &fired, present);
  g_assert_true (present[bl_response_find (response, "F1", "open")]);
  g_assert_cmpuint (bl_response_n_modes (response), ==, 3 + 3 * 4);
  g_assert_cmpuint (bl_response_component_index (response, 3), ==, 2);
  g_assert_cmpstr (bl_response_component (response, 3), ==, "rail5/other");
  g_assert_cmpstr (bl_response_mode (response, 4), ==, "low");
}

static void
test_refused (void)
{
  g_autoptr (BlBoard) board = bl_board_new ();
  g_autoptr (GError) error = NULL;

  add_stage (board, "a", BL_NEED_LEFT_OUT, "c");
  add_stage (board, "b", BL_NEED_LEFT_OUT, "a");
  add_stage (board, "c", BL_NEED_LEFT_OUT, "b");
  add_stage (board, "d", BL_NEED_LEFT_OUT, "c");
  g_assert_null (bl_response_new (board, &error));
  g_assert_error (error, BL_CORE_ERROR, BL_CORE_ERROR_INVALID);
  g_assert_nonnull (strstr (error->message, "a, c, b"));
  g_assert_null (strstr (error->message, ", d"));
}

int
main (int argc, char *argv[])
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/core/response/classes", test_classes);
  g_test_add_func ("/core/response/feeds", test_feeds);
  g_test_add_func ("/core/response/links", test_links);
  g_test_add_func ("/core/response/refused", test_refused);
  return g_test_run ();
}
