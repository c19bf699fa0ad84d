/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * From readings of healthy boards to a proposed band. Factors are checked against published ones elsewhere; here
 * with values whose mean and s are computed by hand. */
#include "config.h"

#include "bl-document.h"
#include "bl-known-good-words.h"

#include <string.h>

#define DOCUMENT                                                                                                       \
  "{ \"format\": \"benchlore-board\", \"version\": 1, \"board_number\": \"B\", \"edition\": \"A\","                    \
  "  \"states\": [{\"id\": \"off\", \"live\": false, \"dead_proof\": [\"M0\"]}, {\"id\": \"run\", \"live\": true}],"   \
  "  \"sections\": [{\"id\": \"s\", \"kind\": \"supply\"}], \"stages\": [{\"id\": \"rail\", \"section\": \"s\"}],"     \
  "  \"measurements\": ["                                                                                              \
  "   {\"id\": \"M0\", \"measures\": \"V DC\", \"state\": \"off\", \"expected\": {\"high\": 10}},"                     \
  "   {\"id\": \"M5\", \"measures\": \"V DC\", \"state\": \"run\", \"reads\": \"rail\","                               \
  "    \"expected\": {\"nominal\": 5, \"tolerance\": \"4 %\", \"source\": \"datasheet\"}},"                            \
  "   {\"id\": \"MN\", \"measures\": \"V DC\", \"state\": \"run\","                                                    \
  "    \"expected\": {\"nominal\": -12, \"low\": -12.6, \"high\": -11.4}},"                                            \
  "   {\"id\": \"MX\", \"measures\": \"V AC\", \"state\": \"run\", \"expected\": {\"high\": 0.5}},"                    \
  "   {\"id\": \"MK\", \"measures\": \"check\", \"state\": \"run\", \"expected\": {\"answer\": true}},"                \
  "   {\"id\": \"MF\", \"measures\": \"V DC\", \"state\": \"run\","                                                    \
  "    \"expected\": {\"follows\": {\"measurement\": \"M5\", \"points\": [[0, 0], [10, 20]], \"tolerance\": 0.1}}}] }"

typedef struct
{
  BlLibrary *library;
  gint64 board;
  BlEdition *edition;
  BlKnownGood *good;
  gint64 jobs[20];
  guint n_jobs;
} Fixture;

static void
set_up (Fixture *f, gconstpointer data)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (BlBoard) board = bl_document_parse (DOCUMENT, -1, NULL, &error);

  g_assert_no_error (error);
  f->library = bl_library_open (":memory:", TRUE, &error);
  g_assert_no_error (error);
  f->board = bl_library_add_board (f->library, board, FALSE, &error);
  g_assert_no_error (error);
  f->edition = bl_edition_new (f->library, f->board, &error);
  g_assert_no_error (error);
}

static void
tear_down (Fixture *f, gconstpointer data)
{
  g_clear_pointer (&f->good, bl_known_good_free);
  g_clear_object (&f->edition);
  g_clear_pointer (&f->library, bl_library_close);
}

static gint64
add_board (Fixture *f)
{
  g_autoptr (BlJob) job = bl_job_new ();
  gint64 id;

  job->board = f->board;
  job->serial = g_strdup_printf ("S-%u", f->n_jobs + 1);
  id = bl_library_add_job (f->library, job, NULL);
  g_assert_true (bl_library_mark_known_good (f->library, id, BL_KNOWN_GOOD_YES, NULL));
  f->jobs[f->n_jobs++] = id;
  return id;
}

static void
read_at (Fixture *f, gint64 job, const char *measurement, const char *text, const char *meter)
{
  g_autoptr (BlRecord) record = bl_record_new (BL_RECORD_READING, measurement, text);
  g_autoptr (GError) error = NULL;

  record->job = job;
  record->meter = g_strdup (meter);
  record->time = G_GINT64_CONSTANT (1773000000) * G_USEC_PER_SEC; /* 2026-03-08 */
  bl_library_append (f->library, record, &error);
  g_assert_no_error (error);
}

/* One board for each of the texts, NULL-terminated. */
static void
read_boards (Fixture *f, const char *measurement, const char *const *texts, const char *meter)
{
  for (guint i = 0; texts[i] != NULL; i++)
    read_at (f, i < f->n_jobs ? f->jobs[i] : add_board (f), measurement, texts[i], meter);
}

static const BlGoodProposal *
find (Fixture *f, const char *measurement)
{
  g_autoptr (GError) error = NULL;

  g_clear_pointer (&f->good, bl_known_good_free);
  f->good = bl_known_good_new (f->edition, .95, .95, &error);
  g_assert_no_error (error);
  return bl_known_good_find (f->good, measurement);
}

/* Five of 4.9 and five of 5.1: mean 5, s = 0.1 sqrt (10/9) = 0.105409. */
static const char *const ten[]
  = { "4.9", "5.1", "4.9", "5.1", "4.9", "5.1", "4.9", "5.1", "4.9", "5.1", NULL };

/* k of ten at 95/95, two-sided: 3.393 (computed with another program), 3.39 (Berthouex & Brown, table 21.1). */
static void
test_two_sided (Fixture *f, gconstpointer data)
{
  read_boards (f, "M5", ten, NULL);
  const BlGoodProposal *p = find (f, "M5");

  g_assert_cmpuint (bl_known_good_n_boards (f->good), ==, 10);
  g_assert_true (p->state == BL_GOOD_PROPOSED);
  g_assert_cmpuint (p->with.n, ==, 10);
  g_assert_cmpfloat_with_epsilon (p->with.mean, 5, 1e-12);
  g_assert_cmpfloat_with_epsilon (p->with.s, 0.105409, 1e-6);
  g_assert_cmpfloat_with_epsilon (p->with.k, 3.393, 6e-4);
  g_assert_cmpfloat_with_epsilon (p->with.exact_low, 5 - 3.393 * 0.105409, 1e-4);
  /* 4.6423 and 5.3577, outward to a tenth of the leading figure of s, 0.01. */
  g_assert_cmpfloat (p->with.low, ==, 4.64);
  g_assert_cmpfloat (p->with.high, ==, 5.36);
  g_assert_cmpfloat_with_epsilon (p->documented_low, 4.8, 1e-12);
  g_autofree char *words = bl_good_state_words (f->good, p, FALSE), *compare = bl_good_compare_words (p);
  g_assert_cmpstr (words, ==, "4.64 – 5.36 V DC: holds 95 % of good boards, with 95 % confidence (mean ± 3.39 s)");
  g_assert_cmpstr (compare, ==, "wider than documented");
}

/* The count of the meter is coarser. */
static void
test_meter_step (Fixture *f, gconstpointer data)
{
  read_boards (f, "M5", ten, "0.5%+2@0.1");
  const BlGoodProposal *p = find (f, "M5");

  g_assert_cmpfloat (p->with.low, ==, 4.6);
  g_assert_cmpfloat (p->with.high, ==, 5.4);
}

/* One limit documented: one-sided, k of ten at 95/95 is 2.911 (computed with another program). */
static void
test_one_sided (Fixture *f, gconstpointer data)
{
  static const char *const texts[]
    = { "0.09", "0.11", "0.09", "0.11", "0.09", "0.11", "0.09", "0.11", "0.09", "0.11", NULL };
  read_boards (f, "MX", texts, NULL);
  const BlGoodProposal *p = find (f, "MX");

  g_assert_true (p->state == BL_GOOD_PROPOSED);
  g_assert_cmpfloat_with_epsilon (p->with.k, 2.911, 6e-4);
  g_assert_true (isinf (p->with.low));
  g_assert_cmpfloat_with_epsilon (p->with.exact_high, 0.1 + 2.911 * 0.0105409, 1e-5);
  g_assert_cmpfloat (p->with.high, ==, 0.131);
  g_autofree char *words = bl_good_interval_words (p, &p->with);
  g_assert_cmpstr (words, ==, "≤ 0.131 V AC");
}

static void
test_negative (Fixture *f, gconstpointer data)
{
  static const char *const texts[]
    = { "-11.9", "-12.1", "-11.9", "-12.1", "-11.9", "-12.1", "-11.9", "-12.1", "-11.9", "-12.1", NULL };
  read_boards (f, "MN", texts, NULL);
  const BlGoodProposal *p = find (f, "MN");

  g_assert_cmpfloat (p->documented_low, ==, -12.6);
  g_assert_cmpfloat (p->with.low, ==, -12.36);
  g_assert_cmpfloat (p->with.high, ==, -11.64);
  g_assert_true (bl_known_good_accept (f->good, "MN", FALSE, NULL));
  const BlMeasurement *m = bl_board_measurement (bl_edition_get_board (f->edition), "MN");
  g_assert_cmpfloat (m->expected.low.value, ==, -12.36);
  g_assert_cmpfloat (m->expected.high.value, ==, -11.64);
}

static void
test_too_few (Fixture *f, gconstpointer data)
{
  g_autoptr (GError) error = NULL;
  read_boards (f, "M5", ten + 1, NULL);
  const BlGoodProposal *p = find (f, "M5");

  g_assert_true (p->state == BL_GOOD_TOO_FEW && p->boards->len == 9);
  g_assert_true (isnan (p->with.k));
  g_assert_true (isinf (p->with.low) && isinf (p->with.high));
  g_autofree char *words = bl_good_state_words (f->good, p, FALSE);
  g_assert_nonnull (strstr (words, "provisional"));
  g_assert_false (bl_known_good_accept (f->good, "M5", FALSE, &error));
  g_assert_error (error, BL_CORE_ERROR, BL_CORE_ERROR_INVALID);
  g_assert_null (find (f, "MX")); /* nobody read it */
}

/* What is no number is shown and not counted. */
static void
test_no_values (Fixture *f, gconstpointer data)
{
  static const char *const more[] = { "OL", "-", "3..5", NULL };
  static const char *const yes[] = { "yes", "no", NULL };

  read_boards (f, "M5", ten, NULL);
  for (guint i = 0; more[i] != NULL; i++)
    read_at (f, add_board (f), "M5", more[i], NULL);
  read_boards (f, "MK", yes, NULL);
  read_boards (f, "M0", ten, NULL);
  const BlGoodProposal *p = find (f, "M5");

  g_assert_cmpuint (p->boards->len, ==, 13);
  g_assert_cmpuint (p->with.n, ==, 10);
  g_assert_cmpstr (((BlGoodBoard *) bl_at (p->boards, 10))->why, ==, "over range");
  g_assert_cmpstr (((BlGoodBoard *) bl_at (p->boards, 11))->why, ==, "not reached");
  g_assert_cmpstr (((BlGoodBoard *) bl_at (p->boards, 12))->why, ==, "a range");
  p = bl_known_good_find (f->good, "MK");
  g_assert_true (p->state == BL_GOOD_NO_NUMBER && p->boards->len == 2);
  p = bl_known_good_find (f->good, "M0");
  g_assert_true (p->state == BL_GOOD_NO_BAND && isnan (p->with.k));
}

static void
test_alike (Fixture *f, gconstpointer data)
{
  static const char *const same[] = { "5", "5", "5", "5", "5", "5", "5", "5", "5", "5", NULL };
  read_boards (f, "M5", same, NULL);
  g_assert_true (find (f, "M5")->state == BL_GOOD_ALIKE);
}

/* M5 read 4.9 asks for 9.8 of MF, 5.1 for 10.2: as shares of the line all are within 2 %, though they differ by
 * 4 % among themselves. */
static void
test_follows (Fixture *f, gconstpointer data)
{
  static const char *const texts[]
    = { "9.702", "10.302", "9.898", "10.098", "9.8", "10.2", "9.702", "10.302", "9.898", "10.098", NULL };
  read_boards (f, "M5", ten, NULL);
  read_boards (f, "MF", texts, NULL);
  read_at (f, add_board (f), "MF", "10", NULL); /* M5 was not read there */
  const BlGoodProposal *p = find (f, "MF");

  g_assert_true (p->ratio);
  g_assert_cmpuint (p->with.n, ==, 10);
  g_assert_cmpfloat_with_epsilon (((BlGoodBoard *) bl_at (p->boards, 0))->value, .99, 1e-12);
  g_assert_cmpfloat_with_epsilon (((BlGoodBoard *) bl_at (p->boards, 1))->value, 1.01, 1e-12);
  g_assert_nonnull (strstr (((BlGoodBoard *) bl_at (p->boards, 10))->why, "follows"));
  g_assert_true (p->state == BL_GOOD_PROPOSED);
  g_assert_cmpfloat_with_epsilon (p->with.low + p->with.high, 2, 1e-12);
  double width = p->with.high - 1;
  g_assert_true (bl_known_good_accept (f->good, "MF", FALSE, NULL));
  const BlMeasurement *m = bl_board_measurement (bl_edition_get_board (f->edition), "MF");
  g_assert_cmpfloat_with_epsilon (m->expected.follows->tolerance, width, 1e-12);
  g_assert_true (find (f, "MF")->state == BL_GOOD_AS_DOCUMENTED);
}

/* The same with 0.5 V allowed besides: 10 % and 0.5 of 10 V on the average. What is accepted is one width. */
static void
test_follows_within (Fixture *f, gconstpointer data)
{
  static const char *const texts[]
    = { "9.702", "10.302", "9.898", "10.098", "9.8", "10.2", "9.702", "10.302", "9.898", "10.098", NULL };
  bl_board_measurement (bl_edition_begin (f->edition, "within", NULL), "MF")->expected.follows->within.value = 0.5;
  g_assert_true (bl_edition_commit (f->edition, NULL));
  read_boards (f, "M5", ten, NULL);
  read_boards (f, "MF", texts, NULL);
  const BlGoodProposal *p = find (f, "MF");

  g_assert_cmpfloat_with_epsilon (((BlGoodBoard *) bl_at (p->boards, 0))->line, 9.8, 1e-12);
  g_assert_cmpfloat_with_epsilon (p->documented_high, 1.15, 1e-12);
  g_assert_true (bl_known_good_accept (f->good, "MF", FALSE, NULL));
  const BlMeasurement *m = bl_board_measurement (bl_edition_get_board (f->edition), "MF");
  g_assert_false (bl_quantity_is_set (&m->expected.follows->within));
  g_assert_true (find (f, "MF")->state == BL_GOOD_AS_DOCUMENTED);
}

/* Counts of 0.3 V are no whole number of parts of a volt: 4.6423 and 5.3577 go outward to 15 and 18 of them. */
static void
test_odd_count (Fixture *f, gconstpointer data)
{
  read_boards (f, "M5", ten, "1@0.3");
  const BlGoodProposal *p = find (f, "M5");

  g_assert_cmpfloat_with_epsilon (p->with.low, 4.5, 1e-12);
  g_assert_cmpfloat_with_epsilon (p->with.high, 5.4, 1e-12);
}

static void
test_accept_and_undo (Fixture *f, gconstpointer data)
{
  g_autoptr (GError) error = NULL;

  read_boards (f, "M5", ten, NULL);
  find (f, "M5");
  g_assert_true (bl_known_good_accept (f->good, "M5", FALSE, &error));
  g_assert_no_error (error);
  const BlMeasurement *m = bl_board_measurement (bl_edition_get_board (f->edition), "M5");
  g_assert_cmpfloat (m->expected.low.value, ==, 4.64);
  g_assert_null (m->expected.tolerance);
  g_assert_cmpfloat (m->expected.nominal.value, ==, 5);
  g_assert_cmpstr (m->expected.source, ==, "10 known-good boards, 2026-03, 95/95");
  g_assert_true (find (f, "M5")->state == BL_GOOD_AS_DOCUMENTED);
  g_assert_cmpstr (bl_edition_get_undo_label (f->edition), ==, "Band of M5 from known-good boards");
  g_assert_true (bl_edition_undo (f->edition, NULL));
  m = bl_board_measurement (bl_edition_get_board (f->edition), "M5");
  g_assert_cmpstr (m->expected.source, ==, "datasheet");
  g_assert_true (find (f, "M5")->state == BL_GOOD_PROPOSED);
}

static void
test_refuse_until_a_new_board (Fixture *f, gconstpointer data)
{
  read_boards (f, "M5", ten, NULL);
  find (f, "M5");
  g_assert_true (bl_known_good_refuse (f->good, "M5", NULL));
  g_assert_true (find (f, "M5")->state == BL_GOOD_REFUSED);
  /* Another reading of a board that was there is no new board. */
  read_at (f, f->jobs[0], "M5", "4.91", NULL);
  g_assert_true (find (f, "M5")->state == BL_GOOD_REFUSED);
  read_at (f, add_board (f), "M5", "5.0", NULL);
  g_assert_true (find (f, "M5")->state == BL_GOOD_PROPOSED);
}

/* An outlier is named and counts until the technician agrees. */
static void
test_outlier (Fixture *f, gconstpointer data)
{
  read_boards (f, "M5", ten, NULL);
  read_at (f, add_board (f), "M5", "6.5", NULL);
  const BlGoodProposal *p = find (f, "M5");
  const BlGoodBoard *far = bl_at (p->boards, 10);

  g_assert_cmpuint (p->n_outliers, ==, 1);
  g_assert_true (far->outlier && far->use == BL_GOOD_COUNTS && far->g > far->critical && far->p < .05);
  g_assert_cmpuint (p->with.n, ==, 11);
  g_assert_cmpuint (p->without.n, ==, 10);
  g_assert_cmpfloat (p->with.high, >, 6.5);
  g_assert_cmpfloat (p->without.high, ==, 5.36);
  g_autofree char *words = bl_good_board_words (p, far), *without = bl_good_without_words (p);
  g_assert_true (g_str_has_prefix (words, "Job 11, S-11, 2026-03-08: 6.5 V DC; outlier: G 2.9"));
  g_assert_cmpstr (without, ==, "without the outlier, job 11: 4.64 – 5.36 V DC");
  g_assert_true (bl_known_good_accept (f->good, "M5", TRUE, NULL));
  p = find (f, "M5");
  far = bl_at (p->boards, 10);
  g_assert_true (far->use == BL_GOOD_LEFT_OUT && !far->outlier && p->n_outliers == 0);
  g_assert_true (p->state == BL_GOOD_AS_DOCUMENTED);
  g_assert_true (bl_known_good_leave_out (f->good, "M5", far->job, FALSE, NULL));
  g_assert_cmpuint (find (f, "M5")->n_outliers, ==, 1);
}

/* 2 to 8 V: mean - 3.39 s is below the 0.5 V under which it is called absent. */
static void
test_in_the_way (Fixture *f, gconstpointer data)
{
  static const char *const wide[]
    = { "4", "6", "4", "6", "4", "6", "3", "7", "2", "8", NULL };
  read_boards (f, "M5", wide, NULL);
  const BlGoodProposal *p = find (f, "M5");

  g_assert_true (p->state == BL_GOOD_IMPOSSIBLE);
  g_assert_cmpstr (p->with.trouble, ==, "below 500 mV it counts as absent");
  g_assert_false (bl_known_good_accept (f->good, "M5", FALSE, NULL));
}

#define ADD(name, func) g_test_add ("/model/known-good/" name, Fixture, NULL, set_up, func, tear_down)

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  ADD ("two-sided", test_two_sided);
  ADD ("meter-step", test_meter_step);
  ADD ("one-sided", test_one_sided);
  ADD ("negative", test_negative);
  ADD ("too-few", test_too_few);
  ADD ("no-values", test_no_values);
  ADD ("alike", test_alike);
  ADD ("follows", test_follows);
  ADD ("follows-within", test_follows_within);
  ADD ("odd-count", test_odd_count);
  ADD ("accept-and-undo", test_accept_and_undo);
  ADD ("refuse", test_refuse_until_a_new_board);
  ADD ("outlier", test_outlier);
  ADD ("in-the-way", test_in_the_way);
  return g_test_run ();
}
