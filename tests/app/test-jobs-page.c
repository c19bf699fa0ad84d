/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The list of jobs with its chips, and the numbers: what is shown for few jobs and for enough. */
#undef G_DISABLE_ASSERT
#include "config.h"

#include "fixture.h"

#include "bl-job-row.h"
#include "bl-jobs-filter.h"
#include "bl-jobs-page.h"
#include "bl-months-chart.h"
#include "bl-numbers-page.h"
#include "bl-numbers-words.h"

#include "../store/sample.h"
#include "../store/scratch.h"

#include <string.h>

static BlLibrary *
make_shop (guint ended, guint waiting)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (BlBoard) board = sample_board ();
  BlLibrary *library = bl_library_open (":memory:", TRUE, &error);

  g_assert_no_error (error);
  gint64 id = bl_library_add_board (library, board, FALSE, &error);
  for (guint i = 0; i < ended + waiting; i++)
    {
      g_autoptr (BlJob) job = bl_job_new ();
      job->board = id;
      job->created = g_get_real_time () - (gint64) (100 - i) * 86400 * G_USEC_PER_SEC;
      bl_job_set_state (job, i < ended ? BL_JOB_HANDED_BACK : BL_JOB_WAITING);
      gint64 number = bl_library_add_job (library, job, &error);
      g_autoptr (BlRecord) cause = bl_record_new (BL_RECORD_CAUSE, "U2", NULL);
      cause->job = number;
      g_assert_true (i >= ended || bl_library_append (library, cause, &error));
      g_assert_no_error (error);
    }
  return library;
}

/* The first widget of a type below this one. */
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

static guint
n_rows (GtkWidget *page)
{
  GtkWidget *list = find (page, GTK_TYPE_LIST_VIEW);
  return g_list_model_get_n_items (G_LIST_MODEL (gtk_list_view_get_model (GTK_LIST_VIEW (list))));
}

static void
test_chips (void)
{
  BlLibrary *library = make_shop (5, 3);
  GtkWidget *window = gtk_window_new (), *page = bl_jobs_page_new (library);

  gtk_window_set_child (GTK_WINDOW (window), page);
  bl_jobs_page_refresh (BL_JOBS_PAGE (page));
  BlJobsFilter *filter = BL_JOBS_FILTER (find (page, BL_TYPE_JOBS_FILTER));
  g_assert_cmpuint (n_rows (page), ==, 8);
  g_assert_true (bl_jobs_filter_key (filter, GDK_KEY_1, GDK_ALT_MASK));
  g_assert_cmpuint (n_rows (page), ==, 3);
  g_assert_true (bl_jobs_filter_key (filter, GDK_KEY_5, GDK_ALT_MASK));
  g_assert_cmpuint (n_rows (page), ==, 5);
  g_assert_true (bl_jobs_filter_key (filter, GDK_KEY_7, GDK_ALT_MASK));
  g_assert_cmpuint (n_rows (page), ==, 0);
  g_assert_true (bl_jobs_filter_choose (filter, 8));
  g_assert_cmpuint (n_rows (page), ==, 3);
  /* A digit alone is a number that is searched for. */
  g_assert_false (bl_jobs_filter_key (filter, GDK_KEY_1, 0));
  g_assert_false (bl_jobs_filter_key (filter, GDK_KEY_9, GDK_ALT_MASK));
  gtk_window_destroy (GTK_WINDOW (window));
  bl_library_close (library);
}

static int
number_at (GtkSelectionModel *rows, guint place)
{
  g_autoptr (BlJobItem) item = g_list_model_get_item (G_LIST_MODEL (rows), place);
  return bl_job_item_get_job (item)->number;
}

static gboolean
shows_number (GtkWidget *widget, const char *number)
{
  if (GTK_IS_LABEL (widget) && g_str_equal (gtk_label_get_label (GTK_LABEL (widget)), number))
    return TRUE;
  for (GtkWidget *child = gtk_widget_get_first_child (widget); child != NULL; child = gtk_widget_get_next_sibling (child))
    if (shows_number (child, number))
      return TRUE;
  return FALSE;
}

typedef struct
{
  GtkWidget *widget;
  const char *number;
} Shown;

static gboolean
is_shown (gpointer data)
{
  const Shown *shown = data;
  return shows_number (shown->widget, shown->number);
}

/* Rows are filled when a frame is set out: waits for it. */
static gboolean
shows_soon (GtkWidget *widget, const char *number)
{
  Shown shown = { widget, number };
  return app_wait (is_shown, &shown);
}

/* What is typed changes the jobs that the rows show, not the rows: to make those anew is what takes long. */
static void
test_search (void)
{
  BlLibrary *library = make_shop (5, 3);
  GtkWidget *window = gtk_window_new (), *page = bl_jobs_page_new (library);

  gtk_window_set_child (GTK_WINDOW (window), page);
  gtk_window_present (GTK_WINDOW (window));
  bl_jobs_page_refresh (BL_JOBS_PAGE (page));
  GtkWidget *list = find (page, GTK_TYPE_LIST_VIEW), *row = gtk_widget_get_first_child (list);
  GtkSelectionModel *rows = gtk_list_view_get_model (GTK_LIST_VIEW (list));
  GtkEditable *search = GTK_EDITABLE (find (page, GTK_TYPE_ENTRY));
  g_assert_cmpint (number_at (rows, 0), ==, 8);
  g_assert_true (shows_soon (row, "8"));
  gtk_single_selection_set_selected (GTK_SINGLE_SELECTION (rows), 4);
  gtk_editable_set_text (search, "handed");
  g_assert_cmpuint (n_rows (page), ==, 5);
  g_assert_cmpint (number_at (rows, 0), ==, 5);
  g_assert_true (gtk_widget_get_first_child (list) == row && shows_soon (row, "5"));
  /* The job in hand stays it, at its new place. */
  g_assert_cmpuint (gtk_single_selection_get_selected (GTK_SINGLE_SELECTION (rows)), ==, 1);
  gtk_editable_set_text (search, "nowhere");
  g_assert_cmpuint (n_rows (page), ==, 0);
  bl_jobs_page_refresh (BL_JOBS_PAGE (page));
  gtk_editable_set_text (search, "u2 handed");
  g_assert_cmpuint (n_rows (page), ==, 5);
  gtk_editable_set_text (search, "");
  g_assert_cmpuint (n_rows (page), ==, 8);
  g_assert_true (shows_soon (gtk_widget_get_first_child (list), "8"));
  gtk_window_destroy (GTK_WINDOW (window));
  bl_library_close (library);
}

static guint
n_filled (GtkWidget *widget)
{
  guint n = GTK_IS_LABEL (widget);

  for (GtkWidget *child = gtk_widget_get_first_child (widget); child != NULL; child = gtk_widget_get_next_sibling (child))
    n += n_filled (child);
  return n;
}

/* Of many jobs only the rows in view have words; those further down get them when they come into view. */
static void
test_in_view (void)
{
  BlLibrary *library = make_shop (60, 0);
  GtkWidget *window = gtk_window_new (), *page = bl_jobs_page_new (library);

  gtk_window_set_default_size (GTK_WINDOW (window), 1280, 400);
  gtk_window_set_child (GTK_WINDOW (window), page);
  gtk_window_present (GTK_WINDOW (window));
  bl_jobs_page_refresh (BL_JOBS_PAGE (page));
  GtkWidget *list = find (page, GTK_TYPE_LIST_VIEW);
  g_assert_true (shows_soon (gtk_widget_get_first_child (list), "60"));
  g_assert_cmpuint (n_filled (gtk_widget_get_last_child (list)), ==, 0);
  gtk_widget_activate_action (list, "list.scroll-to-item", "u", 59u);
  g_assert_true (shows_soon (gtk_widget_get_last_child (list), "1"));
  gtk_window_destroy (GTK_WINDOW (window));
  bl_library_close (library);
}

static void
test_numbers (void)
{
  for (guint n = 19; n <= 20; n++)
    {
      BlLibrary *library = make_shop (n, 2);
      GtkWidget *window = gtk_window_new (), *page = bl_numbers_page_new (library);
      gboolean bars = FALSE;

      gtk_window_set_child (GTK_WINDOW (window), page);
      bl_numbers_page_refresh (BL_NUMBERS_PAGE (page));
      g_assert_cmpuint (bl_numbers_page_get_numbers (BL_NUMBERS_PAGE (page))->ended, ==, n);
      BlMonthsChart *chart = BL_MONTHS_CHART (find (page, BL_TYPE_MONTHS_CHART));
      g_assert_cmpuint (bl_months_chart_n_columns (chart, &bars), >=, 4);
      g_assert_true (bars == (n == 20));
      g_assert_true (gtk_widget_get_visible (GTK_WIDGET (chart)));
      g_assert_cmpstr (bl_months_chart_caption (chart), ==, "Jobs per month");
      gtk_window_destroy (GTK_WINDOW (window));
      bl_library_close (library);
    }
}

/* Three months without a job: words instead of a page of dashes. With jobs the chart says from which day on it counts. */
static void
test_numbers_of_nothing (void)
{
  for (guint n = 0; n <= 20; n += 20)
    {
      BlLibrary *library = make_shop (n, 0);
      GtkWidget *window = gtk_window_new (), *page = bl_numbers_page_new (library);

      gtk_window_set_child (GTK_WINDOW (window), page);
      bl_numbers_page_refresh (BL_NUMBERS_PAGE (page));
      GtkWidget *chart = find (page, BL_TYPE_MONTHS_CHART), *period = find (page, GTK_TYPE_TOGGLE_BUTTON);
      g_assert_true (bl_numbers_nothing (bl_numbers_page_get_numbers (BL_NUMBERS_PAGE (page))) == (n == 0));
      g_assert_true (gtk_widget_get_visible (chart) == (n > 0));
      /* To the last period, 24 months, from where the first stands. */
      while (gtk_widget_get_next_sibling (period) != NULL)
        period = gtk_widget_get_next_sibling (period);
      gtk_toggle_button_set_active (GTK_TOGGLE_BUTTON (period), TRUE);
      if (n > 0)
        g_assert_nonnull (strstr (bl_months_chart_caption (BL_MONTHS_CHART (chart)), ", counted from "));
      gtk_window_destroy (GTK_WINDOW (window));
      bl_library_close (library);
    }
}

static void
test_written (void)
{
  BlLibrary *library = make_shop (3, 0);
  GtkWidget *window = gtk_window_new (), *page = bl_numbers_page_new (library);
  char *folder = scratch_new ();
  g_autofree char *path = scratch_file (folder, "numbers.csv"), *text = NULL, *wanted = NULL;
  g_autoptr (GError) error = NULL;
  BlNumbersAsk ask = BL_NUMBERS_ASK_INIT;

  gtk_window_set_child (GTK_WINDOW (window), page);
  bl_numbers_page_refresh (BL_NUMBERS_PAGE (page));
  g_assert_true (bl_numbers_page_write (BL_NUMBERS_PAGE (page), path, &error));
  g_assert_true (g_file_get_contents (path, &text, NULL, &error));
  wanted = bl_numbers_csv (library, &ask, &error);
  g_assert_true (g_str_has_prefix (text, "figure,edition,item,count,of,value,unit\r\n"));
  g_assert_nonnull (strstr (text, "\r\nended,,,3,,,\r\n"));
  g_assert_cmpuint (strlen (text), ==, strlen (wanted));
  gtk_window_destroy (GTK_WINDOW (window));
  scratch_free (folder);
  bl_library_close (library);
}

int
main (int argc, char **argv)
{
  app_test_init (&argc, &argv);
  g_test_add_func ("/app/jobs-page/chips", test_chips);
  g_test_add_func ("/app/jobs-page/search", test_search);
  g_test_add_func ("/app/jobs-page/in-view", test_in_view);
  g_test_add_func ("/app/jobs-page/numbers", test_numbers);
  g_test_add_func ("/app/jobs-page/numbers-of-nothing", test_numbers_of_nothing);
  g_test_add_func ("/app/jobs-page/written", test_written);
  return g_test_run ();
}
