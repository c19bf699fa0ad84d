/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Which values of a meter are taken: a table of scenes at the bench. A scene is a script of what the meter shows;
 * beside it stands all that changed, in order. What open leads show and how long a blank is are common practice,
 * no source. */
#undef G_DISABLE_ASSERT
#include "bl-capture.h"

#include <locale.h>
#include <string.h>

/* Words of a script, by blanks:
 *   4.980x20   twenty samples of this value, digits as written ("4700x5@-1": other digits)
 *   1.2~3.4x20 twenty samples that wander between the two
 *   OLx3 -OLx3 over;  NANx2 a value that is none
 *   rate=20    samples per second (10 at first)
 *   mode=V_AC  what the meter measures from now on ("_" for a blank)
 *   gap=4      seconds without a sample, ticks four times a second
 *   held relative unsettled off    flags
 *   next       the same is asked for anew;  none  nothing is asked for
 *   key        the key */
typedef struct
{
  BlCapture *capture;
  BlCaptureExpect expect;
  BlSample sample;
  double rate;
  GString *log;
} Scene;

static void
note (Scene *scene, const BlCaptureEvent *event)
{
  static const char *const names[] = { "nothing", "show", "armed", "taken", "half", "mismatch", "key", "lost" };
  BlReading reading;

  g_assert_nonnull (event);
  if (!event->changed)
    {
      g_assert_cmpint (event->kind, !=, BL_CAPTURE_TAKEN);
      return;
    }
  g_string_append_printf (scene->log, "%s%s", scene->log->len > 0 ? " " : "", names[event->kind]);
  if (event->kind == BL_CAPTURE_TAKEN)
    {
      g_string_append_printf (scene->log, ":%s", event->reading);
      if (strchr (event->reading, '/') == NULL)
        g_assert_true (bl_reading_parse (event->reading, scene->expect.measures, &reading, NULL));
    }
  else
    g_assert_null (event->reading);
  if (event->kind >= BL_CAPTURE_HALF)
    g_assert_nonnull (event->words);
}

static void
pass (Scene *scene)
{
  scene->sample.time_us += (gint64) (G_USEC_PER_SEC / scene->rate);
}

static int
digits_of (const char *number)
{
  const char *point = strchr (number, '.');

  return point != NULL ? (int) strspn (point + 1, "0123456789") : 0;
}

static void
play_values (Scene *scene, const char *word)
{
  const char *times = strrchr (word, 'x'), *at = strchr (word, '@'), *wander = strchr (word, '~');
  guint n = (guint) g_ascii_strtoull (times + 1, NULL, 10), seed = 1;
  double low = g_ascii_strtod (word, NULL), high = wander != NULL ? g_ascii_strtod (wander + 1, NULL) : low;

  scene->sample.over = strstr (word, "OL") != NULL;
  scene->sample.digits = at != NULL ? atoi (at + 1) : digits_of (word);
  for (guint i = 0; i < n; i++)
    {
      double count = pow (10, -scene->sample.digits);

      seed = seed * 1103515245 + 12345;
      scene->sample.value = low + (high - low) * ((seed >> 16) % 1000) / 1000;
      scene->sample.value = (double) (float) (round (scene->sample.value / count) * count);
      if (scene->sample.over)
        scene->sample.value = word[0] == '-' ? -1 : 1;
      if (g_str_has_prefix (word, "NAN"))
        scene->sample.value = NAN;
      pass (scene);
      note (scene, bl_capture_feed (scene->capture, &scene->sample));
    }
}

static void
play_gap (Scene *scene, double seconds)
{
  gint64 end = scene->sample.time_us + (gint64) (seconds * G_USEC_PER_SEC);

  for (gint64 now = scene->sample.time_us; now <= end; now += G_USEC_PER_SEC / 4)
    note (scene, bl_capture_tick (scene->capture, now));
  scene->sample.time_us = end;
}

static void
play_key (Scene *scene)
{
  g_autoptr (GError) error = NULL;
  g_autofree char *text = bl_capture_take (scene->capture, scene->sample.time_us + 1000, &error);

  g_assert_true ((text == NULL) == (error != NULL));
  g_string_append_printf (scene->log, " %s", text != NULL ? text : "refused");
}

static void
play_mode (Scene *scene, const char *name)
{
  g_autofree char *mode = g_strdelimit (g_strdup (name), "_", ' ');

  g_assert_true (bl_meter_mode_parse (mode, &scene->sample.mode));
}

static void
play_word (Scene *scene, const char *word)
{
  if (g_str_has_prefix (word, "rate="))
    scene->rate = g_ascii_strtod (word + 5, NULL);
  else if (g_str_has_prefix (word, "mode="))
    play_mode (scene, word + 5);
  else if (g_str_has_prefix (word, "gap="))
    play_gap (scene, g_ascii_strtod (word + 4, NULL));
  else if (strcmp (word, "held") == 0)
    scene->sample.held = TRUE;
  else if (strcmp (word, "relative") == 0)
    scene->sample.relative = TRUE;
  else if (strcmp (word, "unsettled") == 0)
    scene->sample.unsettled = TRUE;
  else if (strcmp (word, "off") == 0)
    scene->sample.held = scene->sample.relative = scene->sample.unsettled = FALSE;
  else if (strcmp (word, "next") == 0)
    bl_capture_expect (scene->capture, &scene->expect);
  else if (strcmp (word, "none") == 0)
    bl_capture_expect (scene->capture, NULL);
  else if (strcmp (word, "key") == 0)
    play_key (scene);
  else
    play_values (scene, word);
}

/* (transfer full) */
static char *
play (const BlCaptureExpect *expect, const char *script)
{
  g_auto (GStrv) words = g_strsplit (script, " ", -1);
  Scene scene = { bl_capture_new (), *expect, { 0 }, 10, g_string_new (NULL) };

  scene.sample.time_us = 1000 * (gint64) G_USEC_PER_SEC;
  scene.sample.mode = bl_meter_mode_for (expect->measures);
  bl_capture_expect (scene.capture, expect);
  for (guint i = 0; words[i] != NULL; i++)
    if (*words[i] != '\0')
      play_word (&scene, words[i]);
  bl_capture_free (scene.capture);
  return g_string_free (scene.log, FALSE);
}

enum
{
  LIVE = 1,
  PROOF = 2,
  BOTH = 4,
  NEGATIVE = 8
};

typedef struct
{
  const char *what;
  BlMeasures measures;
  guint flags;
  double absent_below, open_above;
  const char *script, *log;
} Row;

#define NO NAN, NAN

static const Row rows[] = {
  /* The ordinary case, and what follows it. */
  { "air, then the point", BL_MEASURES_V_DC, LIVE, NO, "0.000x20 2.1x1 4.980x15", "show key armed taken:4.980 show" },
  { "leads stay: not twice", BL_MEASURES_V_DC, LIVE, NO, "0.000x5 4.980x100", "show armed taken:4.980 show" },
  { "leads stay over the next selection", BL_MEASURES_V_DC, LIVE, NO, "0.000x5 4.980x20 next 4.981x100",
    "show armed taken:4.980 show" },
  { "lifted, next point", BL_MEASURES_V_DC, LIVE, NO, "0.000x5 4.980x20 next 0.001x8 11.98x20",
    "show armed taken:4.980 show armed taken:11.98 show" },
  { "the same value at the next point", BL_MEASURES_V_DC, LIVE, NO, "0.000x5 11.98x20 next 0.001x8 11.98x20",
    "show armed taken:11.98 show armed taken:11.98 show" },
  { "leads on the point before the measurement was selected", BL_MEASURES_V_DC, LIVE, NO, "4.980x30 key",
    "show key 4.980" },
  { "from point to point without being seen lifted", BL_MEASURES_V_DC, LIVE, NO,
    "rate=2 0.00x2 11.98x8 next 5.02x8 key", "show armed taken:11.98 show key 5.02" },
  { "moving is not taken", BL_MEASURES_V_DC, LIVE, NO, "0.000x5 4.1~5.6x60", "show armed" },
  { "the last counts may move", BL_MEASURES_V_DC, LIVE, NO, "0.000x5 4.979~4.982x15", "show armed taken:4.981 show" },
  { "noise of a meter with six digits", BL_MEASURES_V_DC, LIVE, NO, "0.000012x5 4.98712~4.98901x15",
    "show armed taken:4.98854 show" },
  { "a charging capacitor", BL_MEASURES_V_DC, LIVE, NO,
    "0.000x5 2.0x1 3.2x1 3.9x1 4.3x1 4.5x1 4.7x1 4.8x1 4.85x1 4.90x1 4.930x1 4.950x1 4.960x1 4.970x1 4.975x1 4.978x1 4.980x14",
    "show armed taken:4.980 show" },
  { "digits are kept", BL_MEASURES_V_DC, LIVE, NO, "0.0000x5 5.0000x15", "show armed taken:5.0000 show" },
  { "below zero", BL_MEASURES_V_DC, LIVE, NO, "0.00x5 -11.98x15", "show armed taken:-11.98 show" },

  /* Slow and fast meters. */
  { "one sample a second", BL_MEASURES_V_DC, LIVE, NO, "rate=1 0.00x4 4.98x2", "show key armed" },
  { "one sample a second, third", BL_MEASURES_V_DC, LIVE, NO, "rate=1 0.00x4 4.98x3", "show key armed taken:4.98" },
  { "twenty a second", BL_MEASURES_V_DC, LIVE, NO, "rate=20 0.000x40 4.980x20", "show key armed" },
  { "twenty a second, a second", BL_MEASURES_V_DC, LIVE, NO, "rate=20 0.000x40 4.980x21",
    "show key armed taken:4.980" },
  { "five hundred a second", BL_MEASURES_V_DC, LIVE, NO, "rate=500 0.000x200 4.980x490", "show armed" },
  { "five hundred a second, a second", BL_MEASURES_V_DC, LIVE, NO, "rate=500 0.000x200 4.980x530",
    "show armed taken:4.980 show" },
  { "five hundred a second, one in fifty off", BL_MEASURES_V_DC, LIVE, NO,
    "rate=500 0.000x200 4.980x50 4.2x25 4.980x50 4.2x25 4.980x50 4.2x25 4.980x50 4.2x25 4.980x50 4.2x25 4.980x50 4.2x25 4.980x50",
    "show armed" },
  { "one sample missing", BL_MEASURES_V_DC, LIVE, NO, "rate=1 0.00x4 4.98x2 gap=1 4.98x1", "show key armed taken:4.98" },

  /* The range changes. */
  { "finer digits after a while", BL_MEASURES_V_DC, LIVE, NO, "0.00x5 5.0x3 4.98x2 4.980x12",
    "show armed taken:4.980 show" },
  { "digits to and fro: the coarser", BL_MEASURES_V_DC, LIVE, NO,
    "0.000x5 4.98x1 4.980x1 4.98x1 4.980x1 4.98x1 4.980x1 4.98x1 4.980x1 4.98x1 4.980x1 4.98x1 4.980x1 4.98x1 4.980x1 "
    "4.98x1 4.980x1 4.98x1 4.980x1 4.98x1 4.980x1 4.98x1 4.980x1 4.98x1 4.980x1 4.98x1 4.980x1 4.98x1 4.980x1 4.98x1 "
    "4.980x1 4.98x1 4.980x1 4.98x1 4.980x1 4.98x1",
    "show armed taken:4.98 show" },
  { "a blank between", BL_MEASURES_V_DC, LIVE, NO, "0.000x5 4.980x6 NANx2 4.980x6", "show armed taken:4.980 show" },
  { "over for a moment", BL_MEASURES_V_DC, LIVE, NO, "0.000x5 OLx2 48.20x15", "show armed taken:48.20 show" },
  { "ohms: OL for a moment", BL_MEASURES_OHM, 0, NO, "OLx20 4700x3@0 OLx1 4700x8@0",
    "show key armed taken:4.700k show" },
  { "ohms: OL for a moment is no lift for the same value", BL_MEASURES_OHM, 0, NO,
    "OLx5 470.0x15 next OLx1 470.0x30", "show armed taken:470.0 show" },
  { "ohms: nor is a slow meter's", BL_MEASURES_OHM, 0, NO, "rate=1 OLx4 470.0x4 next OLx1 470.0x8",
    "show key armed taken:470.0 show" },
  { "ohms: nor are three of a fast one's", BL_MEASURES_OHM, 0, NO, "rate=20 OLx5 470.0x25 next OLx3 470.0x60",
    "show armed taken:470.0 show" },
  { "ohms: OL for a moment before another value", BL_MEASURES_OHM, 0, NO, "rate=2 OLx5 470.0x4 next OLx1 22.4x6",
    "show key armed taken:470.0 show armed taken:22.4 show" },
  { "a contact that comes and goes", BL_MEASURES_CONTINUITY, 0, NO,
    "OLx5 0.4x2 OLx1 0.4x2 OLx1 0.4x2 OLx1 0.4x2 OLx1 0.4x2 OLx1 0.4x2 OLx1 0.4x2 OLx1 0.4x2 OLx1 0.4x2", "show armed" },
  { "zero for a moment while the range changes", BL_MEASURES_V_DC, LIVE, NO,
    "0.000x5 4.980x20 next 0.0x1 4.980x30", "show armed taken:4.980 show" },

  /* Volts of open leads. */
  { "a ghost wanders", BL_MEASURES_V_AC, LIVE, NO, "2.1~6.4x60", "show" },
  { "a ghost wanders, then the point", BL_MEASURES_V_AC, LIVE, NO, "2.1~6.4x40 229.8x15", "show armed taken:229.8 show" },
  { "a ghost stands still for a second", BL_MEASURES_V_AC, LIVE, NO, "2.1~6.4x40 4.40x15 2.1~6.4x20 4.40x15",
    "show key show key" },
  { "lifted into a ghost and back", BL_MEASURES_V_AC, LIVE, NO, "0.1x5 229.8x15 next 2.1~6.4x20 118.2x15",
    "show armed taken:229.8 show armed taken:118.2 show" },
  { "a rail that wobbles is no lift", BL_MEASURES_V_DC, LIVE, NO, "0.00x5 12.00x15 next 11.90~12.10x40 12.05x15",
    "show armed taken:12.00 show" },
  { "a wide input drifts on lifting", BL_MEASURES_V_DC, LIVE, NO,
    "0.0000x5 5.0000x15 next 3.1~3.9x20 1.8012x15", "show armed taken:5.0000 show armed taken:1.8012 show" },

  /* What only the key takes. */
  { "absent", BL_MEASURES_V_DC, LIVE, 1.2, NAN, "0.000x5 0.800x20 key", "show armed key 0.800" },
  { "around zero", BL_MEASURES_V_DC, LIVE, NO, "0.000x40 key", "show key 0.000" },
  { "minus nothing", BL_MEASURES_V_DC, LIVE, NO, "-0.0001x40@3 key", "show key 0.000" },
  { "reversed", BL_MEASURES_V_DC, LIVE, 1.2, NAN, "0.00x5 -11.98x20 key", "show armed key -11.98" },
  { "a negative rail is not reversed", BL_MEASURES_V_DC, LIVE | NEGATIVE, 1.2, NAN, "0.00x5 -11.98x15",
    "show armed taken:-11.98 show" },
  { "a negative rail absent", BL_MEASURES_V_DC, LIVE | NEGATIVE, 1.2, NAN, "0.00x5 -0.82x15", "show armed key" },
  { "open", BL_MEASURES_OHM, 0, NO, "OLx20 key", "show key OL" },
  { "as good as open", BL_MEASURES_OHM, 0, NAN, 1e6, "OLx5 1200000x20@-4 key", "show armed key 1.20M" },
  { "touching leads", BL_MEASURES_OHM, 0, NO, "OLx5 0.2x20 key", "show armed key 0.2" },
  { "continuity wants just that", BL_MEASURES_CONTINUITY, 0, NO, "OLx5 0.2x15", "show armed taken:0.2 show" },
  { "proof of dead", BL_MEASURES_V_DC, PROOF, NO, "0.0x5 24.1x20 key 0.0x20 key", "show armed key 24.1 show key 0.0" },
  { "held by the meter", BL_MEASURES_V_DC, LIVE, NO, "0.00x5 held 4.98x20 off 4.98x15",
    "show armed key armed taken:4.98 show" },
  { "the meter says: not settled", BL_MEASURES_V_DC, LIVE, NO, "0.00x5 unsettled 4.98x20 off 4.98x15",
    "show armed taken:4.98 show" },
  { "temperature creeps", BL_MEASURES_DEGC, LIVE, NO, "21.4x5 48.2x20 key", "show key 48.2" },
  { "over the range", BL_MEASURES_V_DC, LIVE, NO, "0.0x5 OLx20 key", "show key OL" },
  { "over the range below zero", BL_MEASURES_V_DC, LIVE, NO, "0.0x5 -OLx20 key", "show key refused" },
  { "key before it stands still", BL_MEASURES_V_DC, LIVE, NO, "0.0x5 4.1~5.6x5 4.9x1 key", "show armed 4.9" },
  { "key, then the same stays", BL_MEASURES_V_DC, LIVE, NO, "0.0x5 4.9x2 key 4.9x30 next 4.9x30", "show armed 4.9 show" },

  /* Another quantity, and danger. */
  { "AC for DC", BL_MEASURES_V_DC, LIVE, NO, "mode=V_AC 4.98x20 key", "mismatch refused" },
  { "DC for AC, turned right", BL_MEASURES_V_AC, LIVE, NO, "mode=V_DC 0.00x5 mode=V_AC 0.1x5 229.8x15",
    "mismatch show armed taken:229.8 show" },
  { "turned right with the leads on", BL_MEASURES_V_AC, LIVE, NO, "0.1x5 mode=V_DC 0.02x3 mode=V_AC 229.8x15",
    "show mismatch show key" },
  { "ohms on a live board", BL_MEASURES_V_DC, LIVE, NO, "mode=ohm OLx1 470.0x20", "mismatch" },
  { "ohms asked for, board live", BL_MEASURES_OHM, LIVE, NO, "OLx5 470.0x20 key", "mismatch refused" },
  { "diode for ohm", BL_MEASURES_OHM, 0, NO, "mode=diode 0.520x20", "mismatch" },
  { "current range on volts", BL_MEASURES_V_DC, LIVE, NO, "mode=A_DC 0.000x20", "mismatch" },
  { "two things wrong after another", BL_MEASURES_V_DC, LIVE, NO, "mode=V_AC 1.0x2 mode=A_DC 1.0x2", "mismatch mismatch" },
  { "ohms for continuity", BL_MEASURES_CONTINUITY, 0, NO, "mode=ohm OLx5 0.2x15", "show armed taken:0.2 show" },
  { "AC or DC not told", BL_MEASURES_V_DC, LIVE, NO, "mode=V 0.0x5 12.0x20", "show armed key" },
  { "a difference is no voltage", BL_MEASURES_V_DC, LIVE, NO, "relative 0.00x5 4.98x20", "mismatch" },
  { "but ohms less those of the leads are ohms", BL_MEASURES_OHM, 0, NO, "relative OLx5 22.4x15",
    "show armed taken:22.4 show" },
  { "no meter shows peak to peak", BL_MEASURES_V_PP, LIVE, NO, "mode=V_AC 1.0x20", "mismatch" },
  { "a check", BL_MEASURES_CHECK, LIVE, NO, "mode=V_DC 5.0x20 key", "mismatch refused" },

  /* Values stop. */
  { "no value for three seconds", BL_MEASURES_V_DC, LIVE, NO, "0.00x5 gap=4", "show lost" },
  { "lost while armed, comes back on the point", BL_MEASURES_V_DC, LIVE, NO, "0.00x5 4.98x5 gap=4 4.98x20 key",
    "show armed lost show key 4.98" },
  { "lost without a tick", BL_MEASURES_V_DC, LIVE, NO, "rate=0.2 0.00x3 4.98x10", "show" },
  { "key after it was lost", BL_MEASURES_V_DC, LIVE, NO, "0.00x5 4.98x5 gap=4 key", "show armed lost refused" },
  { "two seconds are nothing", BL_MEASURES_V_DC, LIVE, NO, "0.00x5 gap=2 4.98x15", "show armed taken:4.98 show" },
  { "nothing selected", BL_MEASURES_V_DC, LIVE, NO, "none 0.00x5 4.98x20 key", "show refused" },

  /* Diode both ways. */
  { "forward", BL_MEASURES_DIODE, 0, NO, "OLx5 0.520x15", "show armed taken:0.520 show" },
  { "forward, then open by the key", BL_MEASURES_DIODE, BOTH, NO, "OLx5 0.520x15 OLx20 key",
    "show armed half key 0.520/OL" },
  { "both ways a value", BL_MEASURES_DIODE, BOTH, NO, "OLx5 0.520x15 OLx8 1.812x15",
    "show armed half armed taken:0.520/1.812 show" },
  { "the second does not come", BL_MEASURES_DIODE, BOTH, NO, "OLx5 0.520x15 gap=2 OLx30 gap=2.5 OLx5 gap=2.5 OLx2",
    "show armed half key taken:0.520 show key" },
  { "the key ends it with the leads still on", BL_MEASURES_DIODE, BOTH, NO, "OLx5 0.520x20 key 0.520x10",
    "show armed half 0.520 show" },
  { "another measurement ends it", BL_MEASURES_DIODE, BOTH, NO, "OLx5 0.520x20 next OLx20 key", "show armed half show key OL" },

  /* Other quantities. */
  { "farads", BL_MEASURES_F, 0, NO, "0.00000000004x5@11 0.0000001001x15@10", "show armed taken:100.1n show" },
  { "microfarads", BL_MEASURES_F, 0, NO, "0.0000000000x5@8 0.002213x15@6", "show armed taken:2213u show" },
  { "amperes", BL_MEASURES_A_DC, LIVE, NO, "0.0000x5 0.0512x15", "show armed taken:51.2m show" },
  { "hertz", BL_MEASURES_HZ, LIVE, NO, "0.00x5 32768x15@-1", "show armed taken:32.77k show" },
};

static void
test_scene (gconstpointer data)
{
  const Row *row = data;
  BlCaptureExpect expect = bl_capture_expect_for (row->measures, NULL);
  g_autofree char *log = NULL;

  expect.live = (row->flags & LIVE) != 0;
  expect.dead_proof = (row->flags & PROOF) != 0;
  expect.both_ways = (row->flags & BOTH) != 0;
  expect.negative = (row->flags & NEGATIVE) != 0;
  expect.absent_below = row->absent_below;
  expect.open_above = row->open_above;
  log = play (&expect, row->script);
  g_assert_cmpstr (log, ==, row->log);
}

typedef struct
{
  double value;
  int digits;
  BlMeterMode mode;
  const char *shown, *reading;
} Text;

static const Text texts[] = {
  { 4.98, 3, BL_METER_V_DC, "4.980 V", "4.980" },
  { -0.00004, 3, BL_METER_V_DC, "0.000 V", "0.000" },
  { 0.0512, 4, BL_METER_V_DC, "51.2 mV", "51.2m" },
  { 4700, 0, BL_METER_OHM, "4.700 kΩ", "4.700k" },
  { 1.2e6, -4, BL_METER_OHM, "1.20 MΩ", "1.20M" },
  { 100.1e-9, 10, BL_METER_F, "100.1 nF", "100.1n" },
  { 0.01, 6, BL_METER_F, "10000 µF", "10000u" },
  { 0.045, 1, BL_METER_DEGC, "0.0 °C", "0.0" },
  { 1234.5, 1, BL_METER_DEGC, "1234.5 °C", "1234.5" },
  { 12, 2, BL_METER_OTHER, "12.00", "12.00" },
};

static void
test_texts (void)
{
  for (gsize i = 0; i < G_N_ELEMENTS (texts); i++)
    {
      BlSample sample = { .value = texts[i].value, .digits = texts[i].digits, .mode = texts[i].mode };
      g_autofree char *shown = bl_sample_to_shown (&sample), *reading = bl_sample_to_reading (&sample);

      g_assert_cmpstr (shown, ==, texts[i].shown);
      g_assert_cmpstr (reading, ==, texts[i].reading);
    }
}

static void
test_modes (void)
{
  for (int mode = 0; mode < BL_N_METER_MODES; mode++)
    {
      BlMeterMode back;

      g_assert_true (bl_meter_mode_parse (bl_meter_mode_name (mode), &back));
      g_assert_cmpint (back, ==, mode);
    }
  g_assert_false (bl_meter_mode_parse ("furlongs", &(BlMeterMode){ 0 }));
}

/* A band hands over its limits. */
static void
test_band (void)
{
  BlBand band = { .absent_below = 1.2, .open_above = NAN, .negative = TRUE };
  BlCaptureExpect expect = bl_capture_expect_for (BL_MEASURES_V_DC, &band);

  g_assert_cmpfloat (expect.absent_below, ==, 1.2);
  g_assert_true (isnan (expect.open_above));
  g_assert_true (expect.negative && !expect.live && !expect.dead_proof && !expect.both_ways);
}

/* Whatever the leads do: ohms are taken only when OL was shown since the taking before and since the selection, and
 * when the last three values agree to some counts. */
static void
test_any_order (void)
{
  static const double values[] = { 470.2, 470.3, 22.4, 22.5, 4700.1, 0.1 };
  g_autoptr (BlCapture) capture = bl_capture_new ();
  BlCaptureExpect expect = bl_capture_expect_for (BL_MEASURES_OHM, NULL);
  BlSample sample = { .mode = BL_METER_OHM, .digits = 1 }, last[3] = { 0 };
  g_autoptr (GRand) rand = g_rand_new_with_seed (1);
  gboolean lifted = FALSE;
  guint taken = 0, choice = 0;

  bl_capture_expect (capture, &expect);
  for (guint i = 0; i < 200000; i++)
    {
      const BlCaptureEvent *event;

      if (g_rand_int_range (rand, 0, 8) == 0)
        choice = (guint) g_rand_int_range (rand, 0, G_N_ELEMENTS (values) + 2);
      if (g_rand_int_range (rand, 0, 100) == 0)
        {
          bl_capture_expect (capture, &expect);
          lifted = FALSE;
        }
      sample.over = choice >= G_N_ELEMENTS (values);
      sample.value = sample.over ? 1 : values[choice];
      sample.time_us += g_rand_int_range (rand, 30000, 900000);
      lifted |= sample.over;
      last[0] = last[1];
      last[1] = last[2];
      last[2] = sample;
      event = bl_capture_feed (capture, &sample);
      if (event->kind != BL_CAPTURE_TAKEN)
        continue;
      g_assert_true (lifted && !sample.over && sample.value > 1);
      g_assert_true (!last[1].over || !last[0].over);
      g_assert_true (last[1].over || fabs (last[1].value - sample.value) < 0.51);
      g_assert_true (last[0].over || fabs (last[0].value - sample.value) < 0.51);
      lifted = FALSE;
      taken++;
    }
  g_assert_cmpuint (taken, >, 1000);
}

int
main (int argc, char **argv)
{
  setlocale (LC_ALL, "C.UTF-8");
  g_test_init (&argc, &argv, NULL);
  g_test_set_nonfatal_assertions ();
  for (gsize i = 0; i < G_N_ELEMENTS (rows); i++)
    {
      g_autofree char *path = g_strdup_printf ("/capture/scene/%s", rows[i].what);

      g_test_add_data_func (path, &rows[i], test_scene);
    }
  g_test_add_func ("/capture/texts", test_texts);
  g_test_add_func ("/capture/modes", test_modes);
  g_test_add_func ("/capture/band", test_band);
  g_test_add_func ("/capture/any-order", test_any_order);
  return g_test_run ();
}
