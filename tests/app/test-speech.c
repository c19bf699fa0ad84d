/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What is said aloud, told by a speaker that writes the sentences down instead of saying them; and that the
 * real one neither waits nor fails where there is no service. */
#include "config.h"

#include "fixture.h"

#include "bl-speech.h"

#define TYPE_NOTEPAD (notepad_get_type ())
G_DECLARE_FINAL_TYPE (Notepad, notepad, TEST, NOTEPAD, GObject)
struct _Notepad
{
  GObject parent_instance;
  GPtrArray *lines; /* "!" before those that interrupt */
};

static void
notepad_say (BlSpeaker *speaker, const char *sentence, gboolean interrupt)
{
  g_ptr_array_add (TEST_NOTEPAD (speaker)->lines, g_strconcat (interrupt ? "!" : "", sentence, NULL));
}

static const char *
notepad_get_trouble (BlSpeaker *speaker)
{
  return NULL;
}

static void
notepad_speaker_init (BlSpeakerInterface *iface)
{
  iface->say = notepad_say;
  iface->get_trouble = notepad_get_trouble;
}

G_DEFINE_FINAL_TYPE_WITH_CODE (Notepad, notepad, G_TYPE_OBJECT,
                               G_IMPLEMENT_INTERFACE (BL_TYPE_SPEAKER, notepad_speaker_init))

static void
notepad_finalize (GObject *object)
{
  g_ptr_array_unref (TEST_NOTEPAD (object)->lines);
  G_OBJECT_CLASS (notepad_parent_class)->finalize (object);
}

static void
notepad_class_init (NotepadClass *klass)
{
  G_OBJECT_CLASS (klass)->finalize = notepad_finalize;
}

static void
notepad_init (Notepad *self)
{
  self->lines = g_ptr_array_new_with_free_func (g_free);
}

/* All that was said since the last call, one line each. (transfer full) */
static char *
said (Notepad *notepad)
{
  GString *all = g_string_new (NULL);

  while (g_main_context_iteration (NULL, FALSE))
    ;
  for (guint i = 0; i < notepad->lines->len; i++)
    g_string_append_printf (all, "%s\n", (char *) g_ptr_array_index (notepad->lines, i));
  g_ptr_array_set_size (notepad->lines, 0);
  return g_string_free (all, FALSE);
}

#define assert_said(notepad, expected)                                                                                \
  G_STMT_START                                                                                                        \
  {                                                                                                                   \
    g_autofree char *lines_ = said (notepad);                                                                         \
    g_assert_cmpstr (lines_, ==, expected);                                                                            \
  }                                                                                                                   \
  G_STMT_END

static void
test_bench (AppFixture *fixture, gconstpointer unused)
{
  g_autoptr (Notepad) notepad = g_object_new (TYPE_NOTEPAD, NULL);
  g_autoptr (BlSpeech) speech = bl_speech_new (BL_SPEAKER (notepad));
  BlMeasurementItem *item = bl_bench_find (fixture->bench, "M5");

  bl_speech_set_bench (speech, fixture->bench);
  bl_bench_select (fixture->bench, item);
  assert_said (notepad, "");
  bl_speech_set_on (speech, TRUE);
  bl_bench_select (fixture->bench, bl_bench_find (fixture->bench, "M12"));
  bl_bench_select (fixture->bench, item);
  assert_said (notepad, "!TP5, 5 V\n");
  g_assert_true (bl_bench_enter (fixture->bench, "4.98", NULL));
  /* The entry declared the state, too. */
  g_autofree char *words = said (notepad), *next = bl_spoken_measurement (bl_bench_get_current (fixture->bench));
  g_autofree char *expected
    = g_strdup_printf ("!Caution: live, 325 volts. Running, partner board joined.\nTP5, 4.98 volts, in band\nNext: %s\n", next);
  g_assert_cmpstr (words, ==, expected);
  /* Danger is not cut off. */
  bl_bench_select (fixture->bench, item);
  assert_said (notepad, "TP5, 5 V\n");
  bl_bench_undo (fixture->bench, NULL);
  assert_said (notepad, "");
  bl_speech_say (speech, "Hold still.");
  bl_speech_say (speech, "Hold still.");
  assert_said (notepad, "Hold still.\n");
  bl_speech_set_bench (speech, NULL);
}

static void
test_words (void)
{
  static const struct
  {
    BlMeasures measures;
    BlReading reading;
    const char *words;
  } cases[] = {
    { BL_MEASURES_V_DC, { BL_READING_VALUE, 4.98, 0, FALSE }, "4.98 volts" },
    { BL_MEASURES_V_DC, { BL_READING_VALUE, -12, 0, FALSE }, "minus 12 volts" },
    { BL_MEASURES_OHM, { BL_READING_VALUE, 47000, 0, FALSE }, "47 kiloohms" },
    { BL_MEASURES_OHM, { BL_READING_VALUE, 2.2e6, 0, FALSE }, "2.2 megohms" },
    { BL_MEASURES_ESR, { BL_READING_VALUE, 0.35, 0, FALSE }, "0.35 ohms" },
    { BL_MEASURES_F, { BL_READING_VALUE, 4.7e-6, 0, FALSE }, "4.7 microfarads" },
    { BL_MEASURES_A_DC, { BL_READING_VALUE, 0.0021, 0, FALSE }, "2.1 milliamperes" },
    { BL_MEASURES_DEGC, { BL_READING_VALUE, 21.5, 0, FALSE }, "21.5 degrees" },
    { BL_MEASURES_OHM, { BL_READING_OVER, 0, 0, FALSE }, "over range" },
    { BL_MEASURES_V_DC, { BL_READING_RANGE, 3, 5, FALSE }, "between 3 and 5 volts" },
    { BL_MEASURES_CHECK, { BL_READING_ANSWER, 0, 0, TRUE }, "yes" },
  };

  for (guint i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      g_autofree char *words = bl_spoken_reading (cases[i].measures, &cases[i].reading);
      g_assert_cmpstr (words, ==, cases[i].words);
    }
}

static gboolean
in_trouble (gpointer speaker)
{
  return bl_speaker_get_trouble (speaker) != NULL;
}

/* A socket that leads nowhere stands for a service that is not there. */
static void
test_absent (void)
{
  g_autoptr (BlSpeaker) voice = bl_voice_new ();
  gint64 begun = g_get_monotonic_time ();

  g_setenv ("SPEECHD_ADDRESS", "inet_socket:127.0.0.1:9", TRUE);
  g_assert_null (bl_speaker_get_trouble (voice));
  bl_speaker_say (voice, "one", FALSE);
  bl_speaker_say (voice, "two", TRUE);
  g_assert_cmpint (g_get_monotonic_time () - begun, <, G_USEC_PER_SEC);
  g_assert_true (app_wait (in_trouble, voice));
  g_test_message ("without a service: %s", bl_speaker_get_trouble (voice));
}

int
main (int argc, char **argv)
{
  app_test_init (&argc, &argv);
  g_test_add ("/app/speech/bench", AppFixture, NULL, app_fixture_set_up, test_bench, app_fixture_tear_down);
  g_test_add_func ("/app/speech/words", test_words);
  g_test_add_func ("/app/speech/absent", test_absent);
  return g_test_run ();
}
