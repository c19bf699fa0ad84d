/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the board does after a repair, as questions with yes and no: the fault that was shown, the checks of
 * the document that need power, and the shop's own list.
 *
 * An answer goes where it belongs: a fault seen or not is a symptom, a check of the document is a reading, and
 * both are evidence for the odds; the shop's own questions are lines of kind test, which are none. Some ten. */
#include "config.h"

#include "bl-proving-private.h"

#include <glib/gi18n-lib.h>

#define FUNCTIONAL "functional:"
#define VISUAL "safety:visual"

void
bl_check_free (BlCheck *check)
{
  if (check == NULL)
    return;
  g_free (check->id);
  g_free (check->title);
  g_free (check);
}

char **
bl_proving_usual_checks (void)
{
  const char *const usual[] = {
    _ ("Starts from cold, three times in a row?"),
    _ ("Every relay and output does what it should, with its load?"),
    _ ("Link with the partner board without errors for ten minutes?"),
    _ ("Nothing gets hotter, smells or hums more than it should?"),
    NULL,
  };
  return g_strdupv ((char **) usual);
}

gboolean
bl_proving_is_check (BlBench *bench, BlMeasurementItem *item)
{
  const BlMeasurement *measurement = bl_measurement_item_get_measurement (item);

  return measurement->measures == BL_MEASURES_CHECK
         && bl_board_state_may_be_live (bl_bench_get_board (bench), measurement->state);
}

static BlCheck *
add (GPtrArray *checks, BlCheckKind kind, const char *id, const char *title, gboolean good, const BlRecord *answer)
{
  BlCheck *check = g_new0 (BlCheck, 1);
  BlReading reading;

  check->kind = kind;
  check->id = g_strdup (id);
  check->title = g_strdup (title);
  check->good = good;
  check->answer = answer;
  if (answer != NULL && answer->text != NULL && bl_reading_parse (answer->text, BL_MEASURES_CHECK, &reading, NULL)
      && reading.kind == BL_READING_ANSWER)
    check->passed = reading.answer == good;
  g_ptr_array_add (checks, check);
  return check;
}

/* Faults that were seen before the repair: whether they still are. */
static void
add_symptoms (BlBench *bench, GPtrArray *checks)
{
  const BlBoard *board = bl_bench_get_board (bench);
  GPtrArray *records = bl_bench_get_records (bench);
  gssize repair = bl_proving_repair_place (bench);

  for (guint s = 0; s < bl_len (board->symptoms); s++)
    {
      const BlSymptom *symptom = bl_at (board->symptoms, s);
      gboolean seen = FALSE;
      for (gssize i = 0; i < repair; i++)
        {
          const BlRecord *record = bl_at (records, (guint) i);
          if (!record->struck && record->kind == BL_RECORD_SYMPTOM && g_strcmp0 (record->subject, symptom->id) == 0)
            seen = g_strcmp0 (record->text, "no") != 0;
        }
      if (!seen)
        continue;
      const char *name = symptom->title != NULL && *symptom->title != '\0' ? symptom->title : symptom->id;
      /* Translators: a fault that was seen before the repair */
      g_autofree char *title = g_strdup_printf (_ ("%s: does it still show?"), name);
      add (checks, BL_CHECK_SYMPTOM, symptom->id, title, FALSE,
           bl_proving_last (bench, BL_RECORD_SYMPTOM, symptom->id, TRUE));
    }
}

static void
add_document (BlBench *bench, GPtrArray *checks)
{
  GListModel *model = bl_bench_get_measurements (bench);

  for (guint i = 0; i < g_list_model_get_n_items (model); i++)
    {
      g_autoptr (BlMeasurementItem) item = g_list_model_get_item (model, i);
      if (!bl_proving_is_check (bench, item))
        continue;
      const BlMeasurement *measurement = bl_measurement_item_get_measurement (item);
      /* Translators: what is to be looked at, as a question */
      g_autofree char *title = g_strdup_printf (_ ("%s?"), bl_measurement_item_get_title (item));
      add (checks, BL_CHECK_DOCUMENT, measurement->id, title, measurement->expected.answer != 0,
           bl_proving_last (bench, BL_RECORD_READING, measurement->id, TRUE));
    }
}

GPtrArray *
bl_proving_checks (BlBench *bench, const char *const *shop)
{
  g_return_val_if_fail (BL_IS_BENCH (bench), NULL);
  GPtrArray *checks = g_ptr_array_new_with_free_func ((GDestroyNotify) bl_check_free);

  add_symptoms (bench, checks);
  add_document (bench, checks);
  for (guint i = 0; shop != NULL && shop[i] != NULL; i++)
    {
      g_autofree char *subject = g_strconcat (FUNCTIONAL, shop[i], NULL);
      add (checks, BL_CHECK_SHOP, shop[i], shop[i], TRUE, bl_proving_last (bench, BL_RECORD_TEST, subject, TRUE));
    }
  add (checks, BL_CHECK_VISUAL, VISUAL, _ ("Cord, plug, housing and strain relief whole and closed?"), TRUE,
       bl_proving_last (bench, BL_RECORD_TEST, VISUAL, TRUE));
  return checks;
}

BlRecord *
bl_proving_answered (const char *subject, const char *text, gboolean yes)
{
  const BlMeasurement check = { .measures = BL_MEASURES_CHECK, .expected = { .answer = TRUE } };
  const BlReading reading = { .kind = BL_READING_ANSWER, .answer = yes, .value = NAN, .high = NAN, .reverse = NAN };
  BlRecord *record = bl_record_new (BL_RECORD_TEST, subject, text);

  record->expected = g_strdup ("yes");
  record->band = bl_band_resolve (&check, NAN, 0, NULL);
  record->verdict = bl_judge (record->band, &reading, NULL, NAN, 0);
  return record;
}

/* As a reading of that measurement; what is in hand stays in hand. */
static gboolean
answer_document (BlBench *bench, const char *measurement, gboolean yes, GError **error)
{
  BlMeasurementItem *item = bl_bench_find (bench, measurement), *now = bl_bench_get_current (bench);
  g_autoptr (BlMeasurementItem) kept = now != NULL ? g_object_ref (now) : NULL;

  if (item == NULL)
    {
      g_set_error (error, BL_CORE_ERROR, BL_CORE_ERROR_UNKNOWN, _ ("There is no measurement “%s”"), measurement);
      return FALSE;
    }
  bl_bench_select (bench, item);
  gboolean ok = bl_bench_enter (bench, yes ? "yes" : "no", error);
  if (kept != NULL)
    bl_bench_select (bench, kept);
  return ok;
}

gboolean
bl_proving_answer (BlBench *bench, const BlCheck *check, gboolean yes, GError **error)
{
  g_return_val_if_fail (BL_IS_BENCH (bench) && check != NULL, FALSE);

  if (check->kind == BL_CHECK_SYMPTOM)
    return bl_bench_symptom (bench, check->id, yes, error);
  if (check->kind == BL_CHECK_DOCUMENT)
    return answer_document (bench, check->id, yes, error);
  g_autofree char *subject
    = check->kind == BL_CHECK_VISUAL ? g_strdup (VISUAL) : g_strconcat (FUNCTIONAL, check->id, NULL);
  g_autoptr (BlRecord) record = bl_proving_answered (subject, yes ? "yes" : "no", yes);
  return bl_bench_append (bench, record, error);
}
