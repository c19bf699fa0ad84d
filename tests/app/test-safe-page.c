/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Dangers on the bench page, with a clock of the test's own: the banner counts down, the panel asks what feeds a board
 * that is live and what was made sure of before power, and whoever passes by is a line of the log. */
#include "config.h"

#include "fixture.h"

#include "bl-bench-page-private.h"
#include "bl-bench-safe.h"
#include "bl-library-steps.h"

static gint64 test_time;

static gint64
test_clock (void)
{
  return test_time;
}

static void
pass (double seconds)
{
  test_time += (gint64) (seconds * G_USEC_PER_SEC);
}

/* TRUE when a visible label below widget has these words. */
static gboolean
says (GtkWidget *widget, const char *words)
{
  if (!gtk_widget_get_visible (widget))
    return FALSE;
  if (GTK_IS_LABEL (widget) && strstr (gtk_label_get_label (GTK_LABEL (widget)), words) != NULL)
    return TRUE;
  for (GtkWidget *child = gtk_widget_get_first_child (widget); child != NULL;
       child = gtk_widget_get_next_sibling (child))
    if (says (child, words))
      return TRUE;
  return FALSE;
}

typedef struct
{
  GtkWidget *widget;
  const char *words;
} Said;

static gboolean
is_said (gpointer data)
{
  Said *said = data;
  return says (said->widget, said->words);
}

static void
assert_says (GtkWidget *widget, const char *words)
{
  Said said = { widget, words };

  g_test_message ("waiting for: %s", words);
  g_assert_true (app_wait (is_said, &said));
}

static BlBenchPage *
open_page (AppFixture *fixture)
{
  GtkWidget *window = gtk_window_new (), *page = bl_bench_page_new (fixture->library);
  BlEdition *edition = bl_bench_get_edition (fixture->bench);
  BlBoard *board = bl_edition_begin (edition, "charge", NULL);
  BlState *off = bl_board_state (board, "off");
  BlComponent *capacitor = bl_component_copy (bl_at (board->components, 0));
  BlComponent *bleeder = bl_component_copy (bl_at (board->components, 0));

  g_free (capacitor->id);
  g_free (capacitor->kind);
  g_free (capacitor->value);
  capacitor->id = g_strdup ("C1");
  capacitor->kind = g_strdup ("capacitor.electrolytic");
  capacitor->value = g_strdup ("330 uF");
  g_free (bleeder->id);
  g_free (bleeder->kind);
  g_free (bleeder->value);
  bleeder->id = g_strdup ("R2");
  bleeder->kind = g_strdup ("resistor");
  bleeder->value = g_strdup ("220k");
  g_clear_pointer (&capacitor->modes, g_ptr_array_unref);
  g_clear_pointer (&bleeder->modes, g_ptr_array_unref);
  g_ptr_array_add (board->components, capacitor);
  g_ptr_array_add (board->components, bleeder);
  off->capacitor = g_strdup ("C1");
  off->bleeder = g_strdup ("R2");
  g_assert_true (bl_edition_commit (edition, NULL));
  test_time = g_get_real_time () + G_USEC_PER_SEC;
  bl_library_set_clock (test_clock);
  gtk_window_set_child (GTK_WINDOW (window), page);
  gtk_window_set_default_size (GTK_WINDOW (window), 1280, 800);
  bl_bench_page_set_bench (BL_BENCH_PAGE (page), fixture->bench);
  gtk_window_present (GTK_WINDOW (window));
  gtk_test_widget_wait_for_draw (page);
  return BL_BENCH_PAGE (page);
}

static void
close_page (BlBenchPage *page)
{
  bl_library_set_clock (NULL);
  gtk_window_destroy (GTK_WINDOW (gtk_widget_get_root (GTK_WIDGET (page))));
}

static const BlRecord *
last_record (AppFixture *fixture)
{
  GPtrArray *records = bl_bench_get_records (fixture->bench);
  return bl_at (records, records->len - 1);
}

static gboolean
is_asked (BlBenchPage *page, const char *tag)
{
  BlChoicePanel *panel = BL_CHOICE_PANEL (page->choice);
  return bl_choice_panel_is_open (panel) && g_strcmp0 (bl_choice_panel_get_tag (panel), tag) == 0;
}

static void
test_supply (AppFixture *fixture, gconstpointer unused)
{
  BlBenchPage *page = open_page (fixture);

  bl_bench_states_declare (page, "run");
  /* The banner says so before anything is answered. */
  assert_says (page->banner, "LIVE 325 V");
  assert_says (page->banner, "drops out in 3:00");
  g_assert_true (is_asked (page, "supply"));
  g_assert_true (bl_bench_page_key (page, GDK_KEY_b, 0));
  g_assert_cmpint (last_record (fixture)->kind, ==, BL_RECORD_SUPPLY);
  g_assert_cmpstr (last_record (fixture)->text, ==, "supply: isolated, limited");
  g_assert_false (bl_choice_panel_is_open (BL_CHOICE_PANEL (page->choice)));
  bl_bench_states_declare (page, "run");
  g_assert_false (is_asked (page, "supply"));
  close_page (page);
}

/* Whoever goes on typing passes it by; it is not in the way, and Enter ticks nothing. */
static void
test_passed_by (AppFixture *fixture, gconstpointer unused)
{
  BlBenchPage *page = open_page (fixture);

  g_assert_true (bl_bench_page_enter (page, "M5 5"));
  g_assert_true (is_asked (page, "supply"));
  bl_bench_page_key (page, GDK_KEY_4, 0);
  g_assert_cmpstr (last_record (fixture)->text, ==, "supply: passed by");
  close_page (page);
}

static void
test_enter_ticks_nothing (AppFixture *fixture, gconstpointer unused)
{
  BlBenchPage *page = open_page (fixture);

  bl_bench_states_declare (page, "run");
  g_assert_true (bl_bench_page_key (page, GDK_KEY_Return, 0));
  g_assert_cmpstr (last_record (fixture)->text, ==, "supply: passed by");
  close_page (page);
}

static void
test_before_power (AppFixture *fixture, gconstpointer unused)
{
  BlBenchPage *page = open_page (fixture);

  /* The example has no point on the hot side: one is put there. */
  BlEdition *edition = bl_bench_get_edition (fixture->bench);
  BlBoard *board = bl_edition_begin (edition, "hot", NULL);
  g_free (bl_board_test_point (board, "TP5")->ground);
  bl_board_test_point (board, "TP5")->ground = g_strdup ("hot");
  g_assert_true (bl_edition_commit (edition, NULL));
  bl_bench_states_declare (page, "run");
  bl_bench_page_key (page, GDK_KEY_i, 0);
  bl_bench_states_declare (page, "off");
  bl_choice_panel_close (BL_CHOICE_PANEL (page->choice));
  g_assert_true (bl_bench_page_enter (page, "U2 replaced"));
  bl_choice_panel_close (BL_CHOICE_PANEL (page->choice));
  bl_bench_states_declare (page, "run");
  g_assert_true (is_asked (page, "before-power"));
  g_assert_true (bl_bench_page_key (page, GDK_KEY_b, 0));
  g_assert_true (is_asked (page, "before-power"));
  g_assert_true (bl_bench_page_key (page, GDK_KEY_d, 0));
  assert_says (page->choice, "☒  resistance of the bus");
  assert_says (page->choice, "☐  current-limited");
  g_assert_true (bl_bench_page_key (page, GDK_KEY_Return, 0));
  g_assert_cmpstr (last_record (fixture)->text, ==, "before power: bus, discharge, passed by");
  close_page (page);
}

static void
test_counts_down (AppFixture *fixture, gconstpointer unused)
{
  BlBenchPage *page = open_page (fixture);

  bl_bench_states_declare (page, "run");
  bl_choice_panel_close (BL_CHOICE_PANEL (page->choice));
  pass (61);
  assert_says (page->banner, "drops out in 1:59");
  pass (179);
  assert_says (page->banner, "ran out 1:00 ago");
  /* The panel says it before anything is typed, and asks once. */
  bl_bench_select (fixture->bench, bl_bench_find (fixture->bench, "M5"));
  assert_says (page->focus, "ran out 1:00 ago");
  g_assert_false (bl_bench_page_enter (page, "0"));
  assert_says (page->focus, "Enter again keeps it");
  g_assert_true (bl_bench_page_enter (page, "0"));
  g_assert_cmpstr (bl_measurement_item_get_record (bl_bench_find (fixture->bench, "M5"))->why, ==, BL_STATE_OVER);
  assert_says (page->log, "after the state ran out");
  close_page (page);
}

/* After switch-off: how long the charge stays by the parts, and what that is worth. */
static void
test_charge (AppFixture *fixture, gconstpointer unused)
{
  BlBenchPage *page = open_page (fixture);

  bl_bench_states_declare (page, "run");
  bl_choice_panel_close (BL_CHOICE_PANEL (page->choice));
  bl_bench_states_declare (page, "off");
  assert_says (page->choice, "C1 330 µF through R2 220 kΩ, from 325 V");
  assert_says (page->choice, "only the proof counts");
  bl_choice_panel_close (BL_CHOICE_PANEL (page->choice));
  assert_says (page->banner, "60 V in 2:35, 10 V in 5:19");
  assert_says (page->banner, "a failed bleeder bleeds nothing");
  pass (200);
  assert_says (page->banner, "10 V in 1:59");
  pass (200);
  assert_says (page->banner, "below 10 V if R2 bleeds");
  g_assert_cmpint (bl_bench_get_hazard (fixture->bench), ==, BL_HAZARD_UNPROVEN);
  /* Ohms are asked for, and a minute after the proof again. */
  bl_bench_select (fixture->bench, bl_bench_find (fixture->bench, "M9"));
  assert_says (page->focus, "prove it below 10 V, Ctrl D");
  g_assert_true (bl_bench_take_proof (fixture->bench, "230 0.3 230", NULL));
  g_assert_false (says (page->focus, "prove it below"));
  g_assert_false (says (page->banner, "10 V in"));
  pass (61);
  assert_says (page->focus, "a capacitor recovers: prove it below 10 V again");
  assert_says (page->banner, "for ohms prove it below 10 V again");
  close_page (page);
}

static void
test_grounds (AppFixture *fixture, gconstpointer unused)
{
  BlBenchPage *page = open_page (fixture);
  BlEdition *edition = bl_bench_get_edition (fixture->bench);
  BlBoard *board;

  bl_bench_select (fixture->bench, bl_bench_find (fixture->bench, "M5"));
  g_assert_false (says (page->focus, "DIFFERENT GROUNDS"));
  board = bl_edition_begin (edition, "hot", NULL);
  g_free (bl_board_test_point (board, "TP0")->ground);
  bl_board_test_point (board, "TP0")->ground = g_strdup ("hot");
  g_assert_true (bl_edition_commit (edition, NULL));
  assert_says (page->focus, "DIFFERENT GROUNDS: TP5 is isolated ground, black lead TP0 is hot ground");
  assert_says (page->banner, "DIFFERENT GROUNDS");
  close_page (page);
}

int
main (int argc, char **argv)
{
  app_test_init (&argc, &argv);
#define ADD(name, test) g_test_add ("/app/safe-page/" name, AppFixture, NULL, app_fixture_set_up, test, app_fixture_tear_down)
  ADD ("supply", test_supply);
  ADD ("passed-by", test_passed_by);
  ADD ("enter-ticks-nothing", test_enter_ticks_nothing);
  ADD ("before-power", test_before_power);
  ADD ("counts-down", test_counts_down);
  ADD ("charge", test_charge);
  ADD ("grounds", test_grounds);
  return g_test_run ();
}
