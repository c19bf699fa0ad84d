/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The usual changes to a board document, each one step of undo: what the board editor and the bench do
 * with a click. All of them go through bl_edition_begin () and bl_edition_commit ().
 */
#include "config.h"

#include "bl-board-edit.h"
#include "bl-edition.h"

#include <glib/gi18n-lib.h>
#include <string.h>

/* Commits and hands out the new id, or drops it. */
static char *
commit_with_id (BlEdition *self, const char *id, GError **error)
{
  g_autofree char *kept = g_strdup (id);
  if (!bl_edition_commit (self, error))
    return NULL;
  return g_steal_pointer (&kept);
}

static BlTestPoint *
append_test_point (BlBoard *board, const char *photo, double x, double y)
{
  BlTestPoint *point = bl_test_point_new ();

  point->id = bl_board_free_id (board, BL_KIND_TEST_POINT, "TP");
  point->photo = g_strdup (photo);
  point->x = x;
  point->y = y;
  bl_append (&board->test_points, point, (GDestroyNotify) bl_test_point_free);
  return point;
}

static BlMeasurement *
append_measurement (BlBoard *board, const char *test_point, BlMeasures measures, const char *state)
{
  BlMeasurement *measurement = bl_measurement_new ();

  measurement->id = bl_board_free_id (board, BL_KIND_MEASUREMENT, "M");
  measurement->at = g_strdup (test_point);
  measurement->measures = measures;
  measurement->state = g_strdup (state);
  bl_append (&board->measurements, measurement, (GDestroyNotify) bl_measurement_free);
  return measurement;
}

char *
bl_edition_add_test_point (BlEdition *self, const char *photo, double x, double y, GError **error)
{
  BlBoard *board = bl_edition_begin (self, _ ("Place test point"), NULL);

  return commit_with_id (self, append_test_point (board, photo, x, y)->id, error);
}

char *
bl_edition_add_read_point (BlEdition *self, const char *photo, double x, double y, BlMeasures measures,
                           const char *state, GError **error)
{
  BlBoard *board = bl_edition_begin (self, _ ("Place test point"), NULL);
  const BlTestPoint *point = append_test_point (board, photo, x, y);

  return commit_with_id (self, append_measurement (board, point->id, measures, state)->id, error);
}

gboolean
bl_edition_move_test_point (BlEdition *self, const char *id, double x, double y, GError **error)
{
  g_autofree char *key = g_strdup_printf ("move %s", id);
  g_autofree char *label = g_strdup_printf (_ ("Move %s"), id);
  BlBoard *board = bl_edition_begin (self, label, key);
  BlTestPoint *point = bl_board_test_point (board, id);

  if (point == NULL)
    {
      bl_edition_cancel (self);
      g_set_error (error, BL_CORE_ERROR, BL_CORE_ERROR_UNKNOWN, _ ("There is no test point “%s”"), id);
      return FALSE;
    }
  point->x = x;
  point->y = y;
  return bl_edition_commit (self, error);
}

static gboolean
find_kind (const BlBoard *board, const char *name, const char *id, BlKind *kind, GError **error)
{
  if (bl_kind_parse (name, kind) && bl_board_has (board, *kind, id))
    return TRUE;
  g_set_error (error, BL_CORE_ERROR, BL_CORE_ERROR_UNKNOWN, _ ("There is no %s “%s”"), name, id);
  return FALSE;
}

gboolean
bl_edition_rename (BlEdition *self, const char *kind, const char *id, const char *new_id, GError **error)
{
  BlKind which;

  if (!find_kind (bl_edition_get_board (self), kind, id, &which, error))
    return FALSE;
  if (strcmp (id, new_id) == 0)
    return TRUE;
  if (bl_board_has (bl_edition_get_board (self), which, new_id))
    {
      g_set_error (error, BL_CORE_ERROR, BL_CORE_ERROR_INVALID, _ ("“%s” is taken"), new_id);
      return FALSE;
    }
  g_autofree char *label = g_strdup_printf (_ ("Rename %s"), id);
  BlBoard *board = bl_edition_begin (self, label, NULL);
  bl_board_rename (board, which, id, new_id);
  return bl_edition_commit (self, error);
}

gboolean
bl_edition_remove (BlEdition *self, const char *kind, const char *id, GError **error)
{
  BlKind which;

  if (!find_kind (bl_edition_get_board (self), kind, id, &which, error))
    return FALSE;
  g_autofree char *label = g_strdup_printf (_ ("Delete %s"), id);
  BlBoard *board = bl_edition_begin (self, label, NULL);
  bl_board_remove (board, which, id);
  return bl_edition_commit (self, error);
}

/* "Relay output" becomes "relay-output": an id a person can read in the file. */
static char *
id_from_title (const BlBoard *board, BlKind kind, const char *title, const char *fallback)
{
  g_autofree char *ascii = g_str_to_ascii (title != NULL ? title : "", NULL);
  g_autoptr (GString) id = g_string_new (NULL);

  for (const char *c = ascii; *c != '\0'; c++)
    if (g_ascii_isalnum (*c))
      g_string_append_c (id, g_ascii_tolower (*c));
    else if (id->len > 0 && id->str[id->len - 1] != '-')
      g_string_append_c (id, '-');
  while (id->len > 0 && id->str[id->len - 1] == '-')
    g_string_truncate (id, id->len - 1);
  if (id->len == 0)
    return bl_board_free_id (board, kind, fallback);
  if (!bl_board_has (board, BL_KIND_STAGE, id->str) && !bl_board_has (board, BL_KIND_MEASUREMENT, id->str)
      && !bl_board_has (board, kind, id->str))
    return g_strdup (id->str);
  g_string_append_c (id, '-');
  return bl_board_free_id (board, kind, id->str);
}

char *
bl_edition_add_section (BlEdition *self, const char *title, const char *kind, GError **error)
{
  BlBoard *board = bl_edition_begin (self, _ ("Add section"), NULL);
  BlSection *section = bl_section_new ();

  section->id = id_from_title (board, BL_KIND_SECTION, title, "section");
  section->title = g_strdup (title);
  section->kind = g_strdup (kind);
  bl_append (&board->sections, section, (GDestroyNotify) bl_section_free);
  return commit_with_id (self, section->id, error);
}

char *
bl_edition_add_stage (BlEdition *self, const char *section, const char *title, GError **error)
{
  BlBoard *board = bl_edition_begin (self, _ ("Add stage"), NULL);
  BlStage *stage = bl_stage_new ();

  stage->id = id_from_title (board, BL_KIND_STAGE, title, "stage");
  stage->title = g_strdup (title);
  stage->section = g_strdup (section);
  bl_append (&board->stages, stage, (GDestroyNotify) bl_stage_free);
  return commit_with_id (self, stage->id, error);
}

char *
bl_edition_add_component (BlEdition *self, const char *id, const char *kind, const char *stage, GError **error)
{
  BlBoard *board = bl_edition_begin (self, _ ("Add component"), NULL);
  BlComponent *component = bl_component_new ();

  component->id = id != NULL ? g_strdup (id) : bl_board_free_id (board, BL_KIND_COMPONENT, "R");
  component->kind = g_strdup (kind);
  component->stage = g_strdup (stage);
  bl_append (&board->components, component, (GDestroyNotify) bl_component_free);
  return commit_with_id (self, component->id, error);
}

char *
bl_edition_add_measurement (BlEdition *self, const char *test_point, BlMeasures measures, const char *state,
                            const char *black, GError **error)
{
  BlBoard *board = bl_edition_begin (self, _ ("Add measurement"), NULL);
  BlMeasurement *measurement = append_measurement (board, test_point, measures, state);

  if (g_strcmp0 (black, test_point) != 0)
    measurement->black = g_strdup (black);
  return commit_with_id (self, measurement->id, error);
}

gboolean
bl_edition_set_expected (BlEdition *self, const char *id, const char *text, GError **error)
{
  g_autofree char *label = g_strdup_printf (_ ("Expected value of %s"), id);
  g_autofree char *key = g_strdup_printf ("expected %s", id);
  BlBoard *board = bl_edition_begin (self, label, key);
  BlMeasurement *measurement = bl_board_measurement (board, id);

  if (measurement == NULL)
    {
      bl_edition_cancel (self);
      g_set_error (error, BL_CORE_ERROR, BL_CORE_ERROR_UNKNOWN, _ ("There is no measurement “%s”"), id);
      return FALSE;
    }
  if (!bl_expected_from_text (measurement, text, error))
    {
      bl_edition_cancel (self);
      return FALSE;
    }
  return bl_edition_commit (self, error);
}

/* --- photos --- */

static const char *
suffix_for (const char *mime)
{
  if (g_strcmp0 (mime, "image/png") == 0)
    return "png";
  return g_strcmp0 (mime, "image/webp") == 0 ? "webp" : "jpg";
}

static BlPhoto *
append_photo (BlBoard *board, const char *side, const char *mime)
{
  BlPhoto *photo = bl_photo_new ();

  photo->id = bl_board_has (board, BL_KIND_PHOTO, side) ? bl_board_free_id (board, BL_KIND_PHOTO, side)
                                                         : g_strdup (side);
  photo->side = g_strdup (side);
  photo->file = g_strdup_printf ("photos/%s.%s", photo->id, suffix_for (mime));
  bl_append (&board->photos, photo, (GDestroyNotify) bl_photo_free);
  return photo;
}

typedef struct
{
  const char *id, *mime;
  GBytes *image, *thumbnail;
} Picture;

static gboolean
put_picture (BlEdition *self, gpointer data, GError **error)
{
  const Picture *picture = data;

  return bl_library_put_board_photo (bl_edition_get_library (self), bl_edition_get_id (self), picture->id,
                                     picture->mime, picture->image, picture->thumbnail, error);
}

char *
bl_edition_add_photo (BlEdition *self, const char *side, const char *mime, GBytes *image, GBytes *thumbnail,
                      GError **error)
{
  BlBoard *board = bl_edition_begin (self, _ ("Add photo"), NULL);
  g_autofree char *id = g_strdup (append_photo (board, side, mime)->id);
  Picture picture = { id, mime, image, thumbnail };

  return bl_edition_commit_with (self, put_picture, &picture, error) ? g_steal_pointer (&id) : NULL;
}

gboolean
bl_edition_set_picture (BlEdition *self, const char *photo, const char *mime, GBytes *image, GBytes *thumbnail,
                          GError **error)
{
  g_return_val_if_fail (BL_IS_EDITION (self) && photo != NULL, FALSE);
  g_autofree char *id = g_strdup (photo), *label = g_strdup_printf (_ ("Other picture of %s"), photo);
  Picture picture = { id, mime, image, thumbnail };
  BlBoard *board = bl_edition_begin (self, label, NULL);
  BlPhoto *found = bl_board_photo (board, id);

  if (found == NULL)
    {
      bl_edition_cancel (self);
      g_set_error (error, BL_CORE_ERROR, BL_CORE_ERROR_UNKNOWN, _ ("There is no photo “%s”"), id);
      return FALSE;
    }
  g_free (found->file);
  found->file = g_strdup_printf ("photos/%s.%s", id, suffix_for (mime));
  if (!bl_edition_commit_with (self, put_picture, &picture, error))
    return FALSE;
  bl_edition_photo_changed (self, id);
  return TRUE;
}

static void
append_state (BlBoard *board, const char *id, const char *title, gboolean live)
{
  BlState *state = bl_state_new ();

  state->id = g_strdup (id);
  state->title = g_strdup (title);
  state->live = live;
  bl_append (&board->states, state, (GDestroyNotify) bl_state_free);
}

gint64
bl_edition_create (BlLibrary *library, gboolean provisional, const char *mime, GBytes *image, GBytes *thumbnail,
                   GError **error)
{
  g_autoptr (BlBoard) board = bl_board_new ();

  append_state (board, "off", _ ("Unpowered, discharged"), FALSE);
  append_state (board, "run", _ ("Powered"), TRUE);
  g_autofree char *photo = g_strdup (append_photo (board, "front", mime)->id);
  gint64 id = 0;
  gboolean ok, step = !provisional; /* one made for a job goes with the job */
  if (!(step ? bl_library_begin_step (library, BL_STEPS_BOARDS, 0, _ ("New board"), error)
             : bl_library_begin (library, _ ("saving the board"), error)))
    return 0;
  id = bl_library_add_board (library, board, provisional, error);
  ok = id != 0 && bl_library_put_board_photo (library, id, photo, mime, image, thumbnail, error);
  ok = step ? bl_library_end_step (library, ok, NULL, error) : bl_library_end (library, ok, _ ("saving the board"), error);
  return ok ? id : 0;
}
