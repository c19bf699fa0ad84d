/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The place Practice: somebody is added, a round of each kind of question is gone through as by pressing, every answer is
 * kept and shows in the chart; what is asked about is not marked before it is answered. */
#undef G_DISABLE_ASSERT
#include "config.h"

#include "fixture.h"

#include <glib/gstdio.h>
#include <string.h>

#include "bl-photo-view-private.h"
#include "bl-practice-page.h"
#include "bl-progress-chart.h"
#include "bl-quiz-photo.h"
#include "bl-reads-view.h"
#include "bl-way-view.h"

typedef struct
{
  AppFixture shop;
  char *path;
  GtkWidget *window, *page;
  BlPractice *practice;
} Place;

static GtkWidget *
find (GtkWidget *widget, GType type)
{
  if (G_TYPE_CHECK_INSTANCE_TYPE (widget, type))
    return widget;
  for (GtkWidget *child = gtk_widget_get_first_child (widget); child != NULL; child = gtk_widget_get_next_sibling (child))
    {
      GtkWidget *found = find (child, type);
      if (found != NULL)
        return found;
    }
  return NULL;
}

static gboolean
says (GtkWidget *widget, const char *words)
{
  if (GTK_IS_LABEL (widget) && g_str_has_prefix (gtk_label_get_label (GTK_LABEL (widget)), words))
    return TRUE;
  for (GtkWidget *child = gtk_widget_get_first_child (widget); child != NULL; child = gtk_widget_get_next_sibling (child))
    if (says (child, words))
      return TRUE;
  return FALSE;
}

static gboolean
shows (GtkWidget *widget, const char *words)
{
  if (!gtk_widget_get_visible (widget))
    return FALSE;
  if (GTK_IS_LABEL (widget) && g_str_equal (gtk_label_get_label (GTK_LABEL (widget)), words))
    return TRUE;
  for (GtkWidget *child = gtk_widget_get_first_child (widget); child != NULL; child = gtk_widget_get_next_sibling (child))
    if (shows (child, words))
      return TRUE;
  return FALSE;
}

/* A shown button with words that begin so. */
static GtkWidget *
button (GtkWidget *widget, const char *words)
{
  if (!gtk_widget_get_visible (widget))
    return NULL;
  if (GTK_IS_BUTTON (widget) && says (widget, words))
    return widget;
  for (GtkWidget *child = gtk_widget_get_first_child (widget); child != NULL; child = gtk_widget_get_next_sibling (child))
    {
      GtkWidget *found = button (child, words);
      if (found != NULL)
        return found;
    }
  return NULL;
}

static gboolean
never (gpointer data)
{
  return (*(int *) data)-- <= 0;
}

/* What was put off until the signal is over. */
static void
settle (void)
{
  int rounds = 20;

  g_assert_true (app_wait (never, &rounds));
}

static void
set_up (Place *place, gconstpointer unused)
{
  app_fixture_set_up (&place->shop, NULL);
  place->path = g_strdup_printf ("%s-practice", place->shop.path);
  place->page = bl_practice_page_new (place->shop.library, place->path);
  place->window = gtk_window_new ();
  gtk_window_set_default_size (GTK_WINDOW (place->window), 1280, 760);
  gtk_window_set_child (GTK_WINDOW (place->window), place->page);
  gtk_window_present (GTK_WINDOW (place->window));
  bl_practice_page_enter (BL_PRACTICE_PAGE (place->page));
  place->practice = bl_practice_page_get_practice (BL_PRACTICE_PAGE (place->page));
  g_assert_nonnull (place->practice);
}

static void
tear_down (Place *place, gconstpointer unused)
{
  gtk_window_destroy (GTK_WINDOW (place->window));
  settle ();
  g_unlink (place->path);
  g_free (place->path);
  app_fixture_tear_down (&place->shop, NULL);
}

static guint
count_chips (GtkWidget *widget)
{
  guint n = GTK_IS_TOGGLE_BUTTON (widget) ? 1 : 0;

  for (GtkWidget *child = gtk_widget_get_first_child (widget); child != NULL; child = gtk_widget_get_next_sibling (child))
    n += count_chips (child);
  return n;
}

/* The sections to choose from are those of the board, however often it is read. */
static void
test_again (Place *place, gconstpointer unused)
{
  guint n = count_chips (place->page);

  g_assert_cmpuint (n, >, 5); /* the five kinds of fault are chips too */
  bl_practice_page_enter (BL_PRACTICE_PAGE (place->page));
  bl_practice_page_enter (BL_PRACTICE_PAGE (place->page));
  g_assert_cmpuint (count_chips (place->page), ==, n);
}

static void
add_person (Place *place, const char *name)
{
  GtkWidget *entry = find (place->page, GTK_TYPE_ENTRY);

  gtk_editable_set_text (GTK_EDITABLE (entry), name);
  g_signal_emit_by_name (entry, "activate");
  g_assert_cmpstr (bl_practice_get_person (place->practice)->name, ==, name);
}

/* The lists are made anew with each change; whoever was in one still is. */
static void
test_focus (Place *place, gconstpointer unused)
{
  add_person (place, "JB");
  g_assert_true (GTK_IS_LIST_BOX_ROW (gtk_window_get_focus (GTK_WINDOW (place->window))));
  g_signal_emit_by_name (place->practice, "changed");
  settle ();
  GtkWidget *focus = gtk_window_get_focus (GTK_WINDOW (place->window));
  g_assert_true (GTK_IS_LIST_BOX_ROW (focus));
  g_assert_true (gtk_widget_is_ancestor (focus, place->page));
}

/* Tab passes the persons without changing who practises; arrows are what changes it. C is at the count of a set. */
static void
test_tab (Place *place, gconstpointer unused)
{
  gboolean taken = FALSE;

  add_person (place, "AK");
  add_person (place, "JB");
  add_person (place, "MR");
  bl_practice_set_person (place->practice, ((BlPerson *) bl_at (bl_practice_get_persons (place->practice), 1))->id, NULL);
  gtk_widget_grab_focus (find (place->page, GTK_TYPE_ENTRY));
  for (int i = 0; i < 3; i++) /* back over rename and remove to the list */
    gtk_widget_child_focus (place->window, GTK_DIR_TAB_BACKWARD);
  g_assert_true (GTK_IS_LIST_BOX_ROW (gtk_window_get_focus (GTK_WINDOW (place->window))));
  g_assert_cmpstr (bl_practice_get_person (place->practice)->name, ==, "JB");
  gtk_widget_child_focus (place->window, GTK_DIR_TAB_FORWARD);
  g_assert_true (says (gtk_window_get_focus (GTK_WINDOW (place->window)), "rename"));
  g_assert_cmpstr (bl_practice_get_person (place->practice)->name, ==, "JB");
  gtk_widget_child_focus (place->window, GTK_DIR_TAB_BACKWARD);
  g_signal_emit_by_name (find (place->page, GTK_TYPE_LIST_BOX), "move-cursor", GTK_MOVEMENT_DISPLAY_LINES, 1, FALSE, FALSE);
  g_assert_cmpstr (bl_practice_get_person (place->practice)->name, ==, "MR");

  g_autoptr (GListModel) controllers = gtk_widget_observe_controllers (place->page);
  for (guint i = 0; i < g_list_model_get_n_items (controllers) && !taken; i++)
    {
      g_autoptr (GObject) controller = g_list_model_get_item (controllers, i);
      if (GTK_IS_EVENT_CONTROLLER_KEY (controller))
        g_signal_emit_by_name (controller, "key-pressed", GDK_KEY_c, 0, 0, &taken);
    }
  g_assert_true (taken);
  GtkWidget *spin = find (place->page, GTK_TYPE_SPIN_BUTTON), *focus = gtk_window_get_focus (GTK_WINDOW (place->window));
  g_assert_true (gtk_widget_is_ancestor (focus, spin));
  gtk_editable_set_text (GTK_EDITABLE (spin), "2");
  g_signal_emit_by_name (focus, "activate");
  g_autoptr (GPtrArray) drills
    = bl_practice_drills (place->practice, bl_practice_get_person (place->practice)->id, NULL);
  g_assert_cmpuint (bl_len (drills), ==, 2);
}

static GtkWidget *
begin (Place *place, const char *words)
{
  GtkWidget *row = button (place->page, words);

  g_assert_nonnull (row);
  g_signal_emit_by_name (row, "clicked");
  return bl_practice_page_get_activity (BL_PRACTICE_PAGE (place->page));
}

/* What was composed stands under what is due, and the exercise takes the first of it; a new one is drawn when none waits. */
static void
test_waiting (Place *place, gconstpointer unused)
{
  const BlPracticeOrder order = { { place->shop.board, 0 }, 2, 1u << BL_DRILL_SINGLE, NULL, 5, NULL };
  g_autoptr (GError) error = NULL;

  add_person (place, "AK");
  gint64 person = bl_practice_get_person (place->practice)->id;
  g_assert_null (button (place->page, "1 drill waits"));
  g_assert_cmpuint (bl_practice_compose (place->practice, person, &order, &error), ==, 2);
  g_assert_no_error (error);
  g_assert_nonnull (button (place->page, "2 drills wait, from the trainer"));
  g_assert_true (says (place->page, "2 wait: the first is taken."));
  for (guint left = 2; left > 0; left--)
    {
      GtkWidget *view = begin (place, "Fault drill");
      g_assert_nonnull (view);
      g_signal_emit_by_name (view, "done");
      settle ();
      g_autoptr (GPtrArray) drills = bl_practice_drills (place->practice, person, NULL);
      g_assert_cmpuint (bl_len (drills), ==, 2);
      for (guint i = 0; i < 2; i++) /* the newest first: the oldest is begun first */
        g_assert_true ((((BlDrillRow *) bl_at (drills, i))->started != 0) == (i + 1 >= left));
    }
  g_assert_false (says (place->page, "2 wait"));
  begin (place, "Fault drill");
  g_autoptr (GPtrArray) drills = bl_practice_drills (place->practice, person, NULL);
  g_assert_cmpuint (bl_len (drills), ==, 3);
}

static guint
n_answers (Place *place)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (GPtrArray) answers = bl_library_answers (bl_practice_get_library (place->practice),
                                                      bl_practice_get_person (place->practice)->id, &error);
  g_assert_no_error (error);
  return answers->len;
}

/* Nobody practises: nothing begins. The same name twice is refused, and said. */
static void
test_people (Place *place, gconstpointer unused)
{
  begin (place, "Find your way");
  g_assert_null (bl_practice_page_get_activity (BL_PRACTICE_PAGE (place->page)));
  add_person (place, "AK");
  add_person (place, "Jo");
  g_assert_cmpuint (bl_practice_get_persons (place->practice)->len, ==, 2);
  g_signal_emit_by_name (button (place->page, "remove"), "clicked");
  g_assert_cmpuint (bl_practice_get_persons (place->practice)->len, ==, 2);
  g_signal_emit_by_name (button (place->page, "Remove"), "clicked");
  g_assert_cmpuint (bl_practice_get_persons (place->practice)->len, ==, 1);
  g_assert_cmpstr (((BlPerson *) bl_at (bl_practice_get_persons (place->practice), 0))->name, ==, "AK");
}

/* Whatever is asked is given up or chosen; each is an answer in the file. */
static void
test_way (Place *place, gconstpointer unused)
{
  guint n = 0, n_weeks;

  add_person (place, "AK");
  GtkWidget *view = begin (place, "Find your way");
  g_assert_true (BL_IS_WAY_VIEW (view));
  g_assert_false (says (view, "front, back")); /* there is one photo */
  g_assert_false (shows (view, "This round so far"));
  while (button (view, "I do not know") != NULL)
    {
      BlPhotoView *photo = bl_quiz_photo_get_view (BL_QUIZ_PHOTO (find (view, BL_TYPE_QUIZ_PHOTO)));
      gboolean pressing = bl_photo_view_get_tool (photo) == BL_PHOTO_TOOL_PRESS;
      if (pressing)
        g_signal_emit_by_name (photo, "clicked", 399.0, 301.0);
      else
        g_signal_emit_by_name (button (view, "I do not know"), "clicked");
      g_assert_cmpuint (n_answers (place), ==, ++n);
      g_assert_true (shows (view, "This round so far"));
      /* A second press changes nothing. */
      g_signal_emit_by_name (photo, "clicked", 10.0, 10.0);
      g_assert_cmpuint (n_answers (place), ==, n);
      g_signal_emit_by_name (button (view, "Next"), "clicked");
    }
  g_assert_cmpuint (n, >, 3);
  g_assert_nonnull (button (view, "Another round"));
  g_signal_emit_by_name (button (view, "back"), "clicked");
  settle ();
  g_assert_null (bl_practice_page_get_activity (BL_PRACTICE_PAGE (place->page)));
  BlProgressChart *chart = BL_PROGRESS_CHART (find (place->page, BL_TYPE_PROGRESS_CHART));
  g_assert_cmpuint (bl_progress_chart_n_rows (chart, &n_weeks), >, 0);
  g_assert_cmpuint (n_weeks, ==, 1);
}

static void
add_outline (BlStage *stage, const char *photo, double x)
{
  const double corners[] = { x, 20, x + 40, 20, x + 40, 60 };
  BlOutline *outline = bl_outline_new ();

  outline->photo = g_strdup (photo);
  outline->points = g_array_new (FALSE, FALSE, sizeof (double));
  g_array_append_vals (outline->points, corners, G_N_ELEMENTS (corners));
  bl_append (&stage->outlines, outline, (GDestroyNotify) bl_outline_free);
}

/* Enough stages and components with a place, for names to be asked; stages lie on a second photo too. */
static void
place_things (Place *place)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (BlBoard) board = bl_library_load_board (place->shop.library, place->shop.board, &error);

  g_assert_no_error (error);
  BlPhoto *back = bl_photo_new ();
  back->id = g_strdup ("back");
  bl_append (&board->photos, back, (GDestroyNotify) bl_photo_free);
  for (guint i = 0; i < board->stages->len; i++)
    {
      BlStage *stage = bl_at (board->stages, i);
      add_outline (stage, "front", 20 + 60.0 * i);
      add_outline (stage, "back", 30 + 60.0 * i);
    }
  for (guint i = 0; i < board->components->len; i++)
    {
      BlComponent *component = bl_at (board->components, i);
      g_free (component->photo);
      component->photo = g_strdup ("front");
      component->x = component->y = 100 + 90.0 * i;
    }
  bl_library_save_board (place->shop.library, place->shop.board, board, &error);
  g_assert_no_error (error);
}

/* A round that begins with the question what a thing of this kind is called. */
static BlQuizRound *
naming_round (Place *place, BlQuizOf of)
{
  const BlPracticeSubject subject = { .board = place->shop.board };

  for (guint32 seed = 1; seed < 500; seed++)
    {
      g_autoptr (GError) error = NULL;
      g_autoptr (BlQuizRound) round = bl_quiz_round_new (place->practice, &subject, BL_ANSWER_WAY, NULL, NULL, 10, seed,
                                                         &error);
      g_assert_no_error (error);
      const BlQuizQuestion *question = bl_quiz_round_question (round);
      if (question->kind == BL_QUIZ_NAME && question->of == of)
        return g_steal_pointer (&round);
    }
  g_assert_not_reached ();
}

/* As a key comes to the view, before what has the focus gets it. TRUE: it goes no further. */
static gboolean
key (GtkWidget *view, guint keyval)
{
  g_autoptr (GListModel) controllers = gtk_widget_observe_controllers (view);
  gboolean taken = FALSE;

  for (guint i = 0; i < g_list_model_get_n_items (controllers) && !taken; i++)
    {
      g_autoptr (GObject) controller = g_list_model_get_item (controllers, i);
      if (GTK_IS_EVENT_CONTROLLER_KEY (controller))
        g_signal_emit_by_name (controller, "key-pressed", keyval, 0, 0, &taken);
    }
  return taken;
}

/* Stages are "12 V rail" and "5 V rail": a digit is typed. Components are F1, U2, X3: a digit chooses. */
static void
test_digits (Place *place, gconstpointer unused)
{
  add_person (place, "AK");
  place_things (place);
  g_autoptr (BlQuizRound) stages = naming_round (place, BL_QUIZ_STAGE);
  g_autoptr (BlQuizRound) components = naming_round (place, BL_QUIZ_COMPONENT);
  GtkWidget *view = bl_way_view_new (stages), *window = gtk_window_new ();

  gtk_window_set_child (GTK_WINDOW (window), view);
  for (guint digit = GDK_KEY_0; digit <= GDK_KEY_9; digit++)
    g_assert_false (key (view, digit));
  g_assert_cmpuint (n_answers (place), ==, 0);
  g_assert_nonnull (button (view, "12 V rail"));
  g_assert_null (button (view, "2")); /* no cap */
  GtkWidget *entry = find (view, GTK_TYPE_ENTRY);
  gtk_editable_set_text (GTK_EDITABLE (entry), "5 v rail");
  g_signal_emit_by_name (entry, "activate");
  g_assert_cmpuint (n_answers (place), ==, 1);

  view = bl_way_view_new (components);
  gtk_window_set_child (GTK_WINDOW (window), view);
  g_assert_nonnull (button (view, "2"));
  g_assert_false (key (view, GDK_KEY_9)); /* there are three */
  entry = find (view, GTK_TYPE_ENTRY);
  gtk_editable_set_text (GTK_EDITABLE (entry), "no such thing");
  g_assert_false (key (view, GDK_KEY_2)); /* it is being typed */
  g_signal_emit_by_name (entry, "activate");
  g_assert_true (says (view, "Nothing here is called"));
  g_assert_cmpuint (n_answers (place), ==, 1);
  g_assert_true (key (view, GDK_KEY_2));
  g_assert_cmpuint (n_answers (place), ==, 2);
  gtk_window_destroy (GTK_WINDOW (window));
}

/* What is on two photos is lit on the one in sight, its place there. */
static void
test_lit (Place *place, gconstpointer unused)
{
  add_person (place, "AK");
  place_things (place);
  g_autoptr (BlQuizRound) stages = naming_round (place, BL_QUIZ_STAGE);
  GtkWidget *view = bl_way_view_new (stages), *window = gtk_window_new ();
  BlQuizPhoto *photo = BL_QUIZ_PHOTO (find (view, BL_TYPE_QUIZ_PHOTO));
  BlPhotoView *lit = bl_quiz_photo_get_view (photo);

  gtk_window_set_child (GTK_WINDOW (window), view);
  g_assert_cmpstr (bl_quiz_photo_get_shown (photo), ==, "front");
  g_assert_nonnull (lit->spot);
  g_assert_true (says (view, "front, back"));
  double front_x = g_array_index (lit->spot, double, 0);
  g_assert_true (key (view, GDK_KEY_F3));
  g_assert_cmpstr (bl_quiz_photo_get_shown (photo), ==, "back");
  g_assert_nonnull (lit->spot);
  g_assert_cmpfloat (g_array_index (lit->spot, double, 0), !=, front_x);
  gtk_window_destroy (GTK_WINDOW (window));
}

/* 5 V is in the band of the one measurement, 12 V is nowhere. */
static void
test_reads (Place *place, gconstpointer unused)
{
  guint n = 0;

  add_person (place, "AK");
  GtkWidget *view = begin (place, "What should it read?");
  g_assert_true (BL_IS_READS_VIEW (view));
  while (button (view, "I do not know") != NULL)
    {
      GtkWidget *entry = find (view, GTK_TYPE_ENTRY);
      if (gtk_widget_get_visible (entry))
        {
          g_assert_true (shows (gtk_widget_get_parent (entry), "V DC"));
          gtk_editable_set_text (GTK_EDITABLE (entry), "no value");
          g_signal_emit_by_name (entry, "activate");
          g_assert_cmpuint (n_answers (place), ==, n);
          gtk_editable_set_text (GTK_EDITABLE (entry), "5");
          g_signal_emit_by_name (entry, "activate");
        }
      else
        g_signal_emit_by_name (button (view, "I do not know"), "clicked");
      g_assert_cmpuint (n_answers (place), ==, ++n);
      if (button (view, "Next") != NULL)
        g_signal_emit_by_name (button (view, "Next"), "clicked");
    }
  g_assert_cmpuint (n, >=, 3);
}

/* Two measurements with one title differ in the state: it is told, and not asked. */
static void
test_told (Place *place, gconstpointer unused)
{
  const BlPracticeSubject subject = { .board = place->shop.board };
  g_autoptr (GError) error = NULL;
  g_autoptr (BlBoard) board = bl_library_load_board (place->shop.library, place->shop.board, &error);
  BlMeasurement *other = bl_measurement_new ();

  g_assert_no_error (error);
  add_person (place, "AK");
  g_autoptr (BlQuizRound) before = bl_quiz_round_new (place->practice, &subject, BL_ANSWER_READS, NULL, NULL, 1, 1, &error);
  g_assert_no_error (error);
  g_assert_cmpint (bl_quiz_round_question (before)->kind, ==, BL_QUIZ_STATE);
  const BlMeasurement *of = bl_board_measurement (board, bl_quiz_round_question (before)->id);
  for (guint i = 0; i < board->states->len && other->state == NULL; i++)
    if (g_strcmp0 (((BlState *) bl_at (board->states, i))->id, of->state) != 0)
      other->state = g_strdup (((BlState *) bl_at (board->states, i))->id);
  other->id = g_strdup ("other");
  other->title = g_strdup (of->title);
  other->at = g_strdup (of->at);
  other->black = g_strdup (of->black);
  other->measures = of->measures;
  bl_append (&board->measurements, other, (GDestroyNotify) bl_measurement_free);
  bl_library_save_board (place->shop.library, place->shop.board, board, &error);
  g_assert_no_error (error);
  g_autoptr (BlQuizRound) round = bl_quiz_round_new (place->practice, &subject, BL_ANSWER_READS, NULL, NULL, 1, 1, &error);
  g_assert_no_error (error);
  g_autofree char *state = bl_quiz_fact (board, of->id, BL_QUIZ_STATE);
  GtkWidget *view = g_object_ref_sink (bl_reads_view_new (round));
  g_assert_cmpstr (bl_quiz_round_question (round)->id, ==, of->id);
  g_assert_cmpint (bl_quiz_round_question (round)->kind, ==, BL_QUIZ_METER);
  g_assert_true (says (view, state));
  g_assert_true (says (view, "given"));
  g_assert_cmpstr (bl_quiz_round_get_title (round), ==, "–, edition C"); /* it has no number */
  g_object_unref (view);
}

/* Drawn, and described in words. */
static void
test_chart (void)
{
  BlPracticeResults *results = bl_practice_results_new ("AK", 739000);
  BlPractised one = { .kind = BL_PRACTISED_WAY, .day = 739000, .section = "relay", .right = TRUE };
  BlPractised old = { .kind = BL_PRACTISED_READS, .day = 739000 - 21, .section = "supply", .right = FALSE };
  guint n_weeks;

  for (int i = 0; i < 6; i++)
    bl_practice_results_add (results, &one, NULL);
  bl_practice_results_add (results, &old, NULL);
  bl_practice_results_finish (results);
  GtkWidget *chart = g_object_ref_sink (bl_progress_chart_new ());
  bl_progress_chart_show (BL_PROGRESS_CHART (chart), results);
  g_assert_cmpuint (bl_progress_chart_n_rows (BL_PROGRESS_CHART (chart), &n_weeks), ==, 2);
  g_assert_cmpuint (n_weeks, ==, 2);
  g_autofree guint32 *pixels = app_render (chart, 520, 300, "progress-chart");
  guint ink = 0;
  for (int i = 0; i < 520 * 60; i++)
    ink += app_is_colour (pixels[i], &bl_palette_get (FALSE)->ink);
  /* The bar of this week: six of six, so it is full; of the other week only the outline is there. */
  g_assert_cmpuint (ink, >, 21 * 30);
  g_object_unref (chart);
  bl_practice_results_free (results);
}

int
main (int argc, char **argv)
{
  app_test_init (&argc, &argv);
  g_test_add ("/app/practice-page/people", Place, NULL, set_up, test_people, tear_down);
  g_test_add ("/app/practice-page/focus", Place, NULL, set_up, test_focus, tear_down);
  g_test_add ("/app/practice-page/tab", Place, NULL, set_up, test_tab, tear_down);
  g_test_add ("/app/practice-page/waiting", Place, NULL, set_up, test_waiting, tear_down);
  g_test_add ("/app/practice-page/again", Place, NULL, set_up, test_again, tear_down);
  g_test_add ("/app/practice-page/way", Place, NULL, set_up, test_way, tear_down);
  g_test_add ("/app/practice-page/digits", Place, NULL, set_up, test_digits, tear_down);
  g_test_add ("/app/practice-page/lit", Place, NULL, set_up, test_lit, tear_down);
  g_test_add ("/app/practice-page/reads", Place, NULL, set_up, test_reads, tear_down);
  g_test_add ("/app/practice-page/told", Place, NULL, set_up, test_told, tear_down);
  g_test_add_func ("/app/practice-page/chart", test_chart);
  return g_test_run ();
}
