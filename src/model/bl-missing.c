/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What an edition still lacks. The rules of the document are no help here: a board without a number or
 * without a stage is valid, it only cannot be found again, or finds nothing. Boards kept from a job that
 * began with a photo start like this.
 */
#include "config.h"

#include "bl-missing.h"

#include <glib/gi18n-lib.h>

void
bl_missing_free (BlMissing *missing)
{
  g_free (missing->words);
  g_free (missing);
}

/* Takes words. */
static void
add (GPtrArray *list, const char *name, char *words, BlRef ref)
{
  BlMissing *missing = g_new0 (BlMissing, 1);

  missing->name = name;
  missing->words = words;
  missing->ref = ref;
  g_ptr_array_add (list, missing);
}

static gboolean
is_empty (const char *text)
{
  return text == NULL || *text == '\0';
}

static void
add_names (GPtrArray *list, const BlBoard *board)
{
  BlRef root = bl_ref (BL_ELEMENT_BOARD, NULL);

  if (is_empty (board->board_number))
    add (list, _ ("board number"), g_strdup (_ ("The board number is not said: nobody finds this board by it.")), root);
  if (is_empty (board->edition))
    add (list, _ ("edition"),
         g_strdup (_ ("The edition mark is not said: the next board may differ without anybody noticing.")), root);
  if (is_empty (board->maker))
    add (list, _ ("maker"), g_strdup (_ ("The maker is not said.")), root);
}

static guint
count_without_expected (const BlBoard *board, const BlMeasurement **first)
{
  guint n = 0;

  for (guint i = 0; i < bl_len (board->measurements); i++)
    {
      const BlMeasurement *measurement = bl_at (board->measurements, i);
      if (measurement->has_expected)
        continue;
      if (n++ == 0)
        *first = measurement;
    }
  return n;
}

GPtrArray *
bl_board_missing (const BlBoard *board)
{
  g_return_val_if_fail (board != NULL, NULL);
  GPtrArray *list = g_ptr_array_new_with_free_func ((GDestroyNotify) bl_missing_free);
  BlRef stage = bl_ref (BL_ELEMENT_STAGE, NULL), point = bl_ref (BL_ELEMENT_MEASUREMENT, NULL);
  const BlMeasurement *first = NULL;
  guint n = count_without_expected (board, &first);

  add_names (list, board);
  if (bl_len (board->measurements) == 0)
    add (list, _ ("measurements"), g_strdup (_ ("There is no measurement: nothing can be compared.")), point);
  else if (n > 0)
    add (
        list, _ ("expected values"),
        g_strdup_printf (ngettext ("%u measurement expects nothing yet.", "%u measurements expect nothing yet.", n), n),
        bl_ref (BL_ELEMENT_MEASUREMENT, first->id));
  if (bl_len (board->stages) == 0)
    add (list, _ ("stages"),
         g_strdup (_ ("There is no stage: readings are judged, but none is found to have failed. Add a section with a "
                      "stage under Structure, and say at a measurement which stage it reads.")),
         stage);
  if (bl_len (board->components) == 0)
    add (list, _ ("components"), g_strdup (_ ("There is no component: no suspect can be named.")), stage);
  return list;
}

char *
bl_board_title (const char *number, const char *edition)
{
  if (is_empty (number) && is_empty (edition))
    return g_strdup (_ ("Board number and edition not said yet"));
  if (is_empty (number))
    return g_strdup_printf (_ ("Board number not said yet, edition %s"), edition);
  if (is_empty (edition))
    return g_strdup_printf (_ ("%s, edition not said yet"), number);
  return g_strdup_printf (_ ("%s, edition %s"), number, edition);
}
