/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * References to elements of a board document: finding, naming, and reading them from the paths that
 * the checks report. Names are interned: a library holds some thousand of them at most.
 */
#include "config.h"

#include "bl-slot.h"

#include <glib/gi18n-lib.h>
#include <stdlib.h>
#include <string.h>

BlRef
bl_ref (BlElement element, const char *id)
{
  return bl_ref_mode (element, id, NULL, 0);
}

BlRef
bl_ref_at (BlElement element, const char *id, guint index)
{
  return bl_ref_mode (element, id, NULL, index);
}

BlRef
bl_ref_mode (BlElement element, const char *component, const char *mode, guint index)
{
  return (BlRef){ .element = element,
                  .id = g_intern_string (component),
                  .mode = g_intern_string (mode),
                  .index = index };
}

BlRef
bl_ref_lamp (guint indication, guint lamp)
{
  return (BlRef){ .element = BL_ELEMENT_LAMP, .index = indication, .sub = lamp };
}

gboolean
bl_ref_equal (const BlRef *a, const BlRef *b)
{
  return a->element == b->element && a->id == b->id && a->mode == b->mode && a->index == b->index && a->sub == b->sub;
}

char *
bl_ref_key (const BlRef *ref)
{
  return g_strdup_printf ("%d\t%s\t%s\t%u\t%u", ref->element, ref->id != NULL ? ref->id : "",
                          ref->mode != NULL ? ref->mode : "", ref->index, ref->sub);
}

/* --- finding --- */

static gpointer
at (const GPtrArray *array, guint index)
{
  return index < bl_len (array) ? bl_at (array, index) : NULL;
}

static gpointer
find_in_mode (const BlMode *mode, const BlRef *ref)
{
  if (mode == NULL || ref->element == BL_ELEMENT_MODE)
    return (gpointer) mode;
  if (ref->element == BL_ELEMENT_EFFECT)
    return at (mode->effects, ref->index);
  if (ref->element == BL_ELEMENT_PROVOKES)
    return at (mode->provokes, ref->index);
  return mode->shows != NULL && ref->index < mode->shows->len ? &g_array_index (mode->shows, BlShows, ref->index)
                                                              : NULL;
}

/* An element that lies within another one. */
static gpointer
find_within (const BlBoard *board, const BlRef *ref)
{
  const BlStage *stage;
  const BlComponent *component;
  const BlMeasurement *measurement;
  const BlSymptom *symptom;
  const BlIndication *indication;
  const BlPhoto *photo;

  switch (ref->element)
    {
    case BL_ELEMENT_LANDMARK:
      photo = bl_board_photo (board, ref->id);
      return photo != NULL ? at (photo->landmarks, ref->index) : NULL;
    case BL_ELEMENT_FEED:
      stage = bl_board_stage (board, ref->id);
      return stage != NULL ? at (stage->feeds, ref->index) : NULL;
    case BL_ELEMENT_MODE:
    case BL_ELEMENT_SHOW:
    case BL_ELEMENT_EFFECT:
    case BL_ELEMENT_PROVOKES:
      component = bl_board_component (board, ref->id);
      return component != NULL ? find_in_mode (bl_component_mode (component, ref->mode), ref) : NULL;
    case BL_ELEMENT_MARK:
      measurement = bl_board_measurement (board, ref->id);
      return measurement != NULL ? at (measurement->expected.marks, ref->index) : NULL;
    case BL_ELEMENT_WHEN:
      symptom = bl_board_symptom (board, ref->id);
      return symptom != NULL ? at (symptom->when, ref->index) : NULL;
    case BL_ELEMENT_LAMP:
      indication = at (board->indications, ref->index);
      return indication != NULL ? at (indication->pattern, ref->sub) : NULL;
    default:
      return NULL;
    }
}

gpointer
bl_ref_find (const BlBoard *board, const BlRef *ref)
{
  g_return_val_if_fail (board != NULL && ref != NULL, NULL);

  switch (ref->element)
    {
    case BL_ELEMENT_BOARD:
      return (gpointer) board;
    case BL_ELEMENT_STATE:
      return bl_board_state (board, ref->id);
    case BL_ELEMENT_PHOTO:
      return bl_board_photo (board, ref->id);
    case BL_ELEMENT_SECTION:
      return bl_board_section (board, ref->id);
    case BL_ELEMENT_PORT:
      return bl_board_port (board, ref->id);
    case BL_ELEMENT_STAGE:
      return bl_board_stage (board, ref->id);
    case BL_ELEMENT_COMPONENT:
      return bl_board_component (board, ref->id);
    case BL_ELEMENT_TEST_POINT:
      return bl_board_test_point (board, ref->id);
    case BL_ELEMENT_MEASUREMENT:
      return bl_board_measurement (board, ref->id);
    case BL_ELEMENT_SYMPTOM:
      return bl_board_symptom (board, ref->id);
    case BL_ELEMENT_INDICATION:
      return at (board->indications, ref->index);
    default:
      return find_within (board, ref);
    }
}

/* --- words --- */

static const char *
first_text (const char *title, const char *id)
{
  return title != NULL && *title != '\0' ? title : id;
}

static char *
measurement_words (const BlMeasurement *measurement)
{
  if (measurement->title != NULL && *measurement->title != '\0')
    return g_strdup_printf ("%s %s", measurement->id, measurement->title);
  if (measurement->at != NULL)
    return g_strdup_printf (_ ("%s at %s"), measurement->id, measurement->at);
  return g_strdup (measurement->id);
}

/* Of an element that lies within another one and is named by it. */
static char *
words_within (const BlBoard *board, const BlRef *ref, gconstpointer found)
{
  switch (ref->element)
    {
    case BL_ELEMENT_LANDMARK:
      return g_strdup_printf (_ ("landmark %s"), ((const BlLandmark *) found)->id);
    case BL_ELEMENT_FEED:
      return g_strdup_printf (_ ("a feed of stage “%s”"), first_text (bl_board_stage (board, ref->id)->title, ref->id));
    case BL_ELEMENT_MODE:
    case BL_ELEMENT_SHOW:
    case BL_ELEMENT_EFFECT:
    case BL_ELEMENT_PROVOKES:
      return g_strdup_printf ("%s %s", ref->id, ref->mode);
    case BL_ELEMENT_MARK:
      return g_strdup_printf (_ ("a mark of %s"), ref->id);
    default:
      return g_strdup ("");
    }
}

char *
bl_ref_words (const BlBoard *board, const BlRef *ref)
{
  gconstpointer found = bl_ref_find (board, ref);

  if (found == NULL)
    return g_strdup (ref->id != NULL ? ref->id : "");
  switch (ref->element)
    {
    case BL_ELEMENT_BOARD:
      return g_strdup (_ ("the board"));
    case BL_ELEMENT_STATE:
      return g_strdup_printf (_ ("state “%s”"), first_text (((const BlState *) found)->title, ref->id));
    case BL_ELEMENT_PHOTO:
      return g_strdup_printf (_ ("photo %s"), ref->id);
    case BL_ELEMENT_SECTION:
      return g_strdup_printf (_ ("section “%s”"), first_text (((const BlSection *) found)->title, ref->id));
    case BL_ELEMENT_PORT:
      return g_strdup_printf (_ ("port “%s”"), first_text (((const BlPort *) found)->title, ref->id));
    case BL_ELEMENT_STAGE:
      return g_strdup_printf (_ ("stage “%s”"), first_text (((const BlStage *) found)->title, ref->id));
    case BL_ELEMENT_COMPONENT:
    case BL_ELEMENT_TEST_POINT:
      return g_strdup (ref->id);
    case BL_ELEMENT_MEASUREMENT:
      return measurement_words (found);
    case BL_ELEMENT_SYMPTOM:
    case BL_ELEMENT_WHEN:
      return g_strdup_printf (_ ("symptom “%s”"), first_text (bl_board_symptom (board, ref->id)->title, ref->id));
    case BL_ELEMENT_INDICATION:
    case BL_ELEMENT_LAMP:
      return g_strdup_printf (_ ("indication %u"), ref->index + 1);
    default:
      return words_within (board, ref, found);
    }
}

/* --- paths --- */

/* Takes "NAME[INDEX]" off the path; FALSE when it does not go on so. */
static gboolean
take (const char **path, const char *name, guint *index)
{
  gsize length = strlen (name);
  char *end;

  if (strncmp (*path, name, length) != 0 || (*path)[length] != '[')
    return FALSE;
  *index = (guint) strtoul (*path + length + 1, &end, 10);
  if (*end != ']')
    return FALSE;
  *path = end[1] == '.' ? end + 2 : end + 1;
  return TRUE;
}

/* Every element struct with an id begins with it. */
static const char *
id_at (const GPtrArray *array, guint index)
{
  char **element = at (array, index);
  return element != NULL ? *element : NULL;
}

static BlRef
component_path (const BlBoard *board, const char *path, guint index)
{
  const BlComponent *component = at (board->components, index);
  guint mode, inner;

  if (component == NULL || !take (&path, "modes", &mode) || mode >= bl_len (component->modes))
    return bl_ref (BL_ELEMENT_COMPONENT, id_at (board->components, index));
  const char *name = ((const BlMode *) bl_at (component->modes, mode))->mode;
  if (take (&path, "effects", &inner))
    return bl_ref_mode (BL_ELEMENT_EFFECT, component->id, name, inner);
  if (take (&path, "provokes", &inner))
    return bl_ref_mode (BL_ELEMENT_PROVOKES, component->id, name, inner);
  return bl_ref_mode (BL_ELEMENT_MODE, component->id, name, 0);
}

BlRef
bl_ref_from_path (const BlBoard *board, const char *path)
{
  g_return_val_if_fail (board != NULL && path != NULL, bl_ref (BL_ELEMENT_BOARD, NULL));
  guint index, inner;

  if (g_str_has_prefix (path, "$."))
    path += 2;
  if (take (&path, "states", &index))
    return bl_ref (BL_ELEMENT_STATE, id_at (board->states, index));
  if (take (&path, "photos", &index))
    return take (&path, "landmarks", &inner) ? bl_ref_at (BL_ELEMENT_LANDMARK, id_at (board->photos, index), inner)
                                             : bl_ref (BL_ELEMENT_PHOTO, id_at (board->photos, index));
  if (take (&path, "sections", &index))
    return bl_ref (BL_ELEMENT_SECTION, id_at (board->sections, index));
  if (take (&path, "ports", &index))
    return bl_ref (BL_ELEMENT_PORT, id_at (board->ports, index));
  if (take (&path, "stages", &index))
    return bl_ref (BL_ELEMENT_STAGE, id_at (board->stages, index));
  if (take (&path, "components", &index))
    return component_path (board, path, index);
  if (take (&path, "test_points", &index))
    return bl_ref (BL_ELEMENT_TEST_POINT, id_at (board->test_points, index));
  if (take (&path, "measurements", &index))
    return bl_ref (BL_ELEMENT_MEASUREMENT, id_at (board->measurements, index));
  if (take (&path, "symptoms", &index))
    return take (&path, "when", &inner) ? bl_ref_at (BL_ELEMENT_WHEN, id_at (board->symptoms, index), inner)
                                        : bl_ref (BL_ELEMENT_SYMPTOM, id_at (board->symptoms, index));
  if (take (&path, "indications", &index))
    return take (&path, "pattern", &inner) ? bl_ref_lamp (index, inner)
                                           : bl_ref_at (BL_ELEMENT_INDICATION, NULL, index);
  return bl_ref (BL_ELEMENT_BOARD, NULL);
}
