/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Sections to begin from, and how one becomes part of a board.
 *
 * A template is a board document like any other, so that it is checked, diagnosed and edited by what is there
 * already. Before it is merged, everything in it that clashes is renamed inside the template, where references
 * follow; after that merging is appending. */
#include "config.h"

#include "bl-section-template.h"

#include <glib/gi18n-lib.h>
#include <math.h>
#include <string.h>

#include "bl-board-edit.h"
#include "bl-document.h"
#include "bl-templates-resource.h"

#define FOLDER "/org/benchlore/Benchlore/templates/"

/* --- the collection --- */

static const char *const names[]
    = { "mains-inlet",  "rectifier-bulk",   "isolated-supply", "linear-regulators", "relay-output",
        "link-feeding-end", "link-far-end", "low-voltage-bus", "controller-core",   "sensor-inputs",
        "indicators-keys",  "motor-drive" };

static BlSectionTemplate *
load (const char *name)
{
  g_autofree char *path = g_strconcat (FOLDER, name, ".json", NULL);
  g_autoptr (GError) error = NULL;
  g_autoptr (GBytes) bytes = g_resource_lookup_data (bl_templates_get_resource (), path, 0, &error);
  BlSectionTemplate *self = g_new0 (BlSectionTemplate, 1);

  g_assert_no_error (error); /* they are built in, and a test reads them all */
  self->id = g_strdup (name);
  self->board = bl_document_parse (g_bytes_get_data (bytes, NULL), (gssize) g_bytes_get_size (bytes), NULL, &error);
  g_assert_no_error (error);
  return self;
}

GPtrArray *
bl_section_templates (void)
{
  static GPtrArray *all;

  if (g_once_init_enter (&all))
    {
      GPtrArray *loaded = g_ptr_array_new ();
      for (guint i = 0; i < G_N_ELEMENTS (names); i++)
        g_ptr_array_add (loaded, load (names[i]));
      g_once_init_leave (&all, loaded);
    }
  return all;
}

const BlSectionTemplate *
bl_section_template_find (const char *id)
{
  GPtrArray *all = bl_section_templates ();

  for (guint i = 0; i < all->len; i++)
    if (g_strcmp0 (((const BlSectionTemplate *) g_ptr_array_index (all, i))->id, id) == 0)
      return g_ptr_array_index (all, i);
  return NULL;
}

const char *
bl_section_template_title (const BlSectionTemplate *self)
{
  g_return_val_if_fail (self != NULL, NULL);
  return ((const BlSection *) bl_at (self->board->sections, 0))->title;
}

/* --- what feeds it --- */

/* Words that tell one stage from another: long ones, and voltages, a figure with the word after it ("12 V"). */
static GHashTable *
telling_words (const char *title, const char *id)
{
  GHashTable *words = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, NULL);
  g_autofree char *lower = g_utf8_strdown (title != NULL ? title : "", -1);
  g_auto (GStrv) parts = g_strsplit_set (lower, " ,:()-", -1);

  for (guint i = 0; parts[i] != NULL; i++)
    {
      if (g_ascii_isdigit (parts[i][0]) && parts[i + 1] != NULL)
        g_hash_table_add (words, g_strjoin (" ", parts[i], parts[i + 1], NULL));
      else if (g_utf8_strlen (parts[i], -1) > 4 && !g_str_equal (parts[i], "feeds"))
        g_hash_table_add (words, g_strdup (parts[i]));
    }
  if (id != NULL)
    g_hash_table_add (words, g_utf8_strdown (id, -1));
  return words;
}

static guint
in_common (GHashTable *one, GHashTable *other)
{
  GHashTableIter iter;
  gpointer word;
  guint n = 0;

  g_hash_table_iter_init (&iter, one);
  while (g_hash_table_iter_next (&iter, &word, NULL))
    n += g_hash_table_contains (other, word);
  return n;
}

GHashTable *
bl_section_template_guess (const BlSectionTemplate *self, const BlBoard *board)
{
  g_return_val_if_fail (self != NULL && board != NULL, NULL);
  GHashTable *feeds = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, g_free);

  for (guint p = 0; p < bl_len (self->board->ports); p++)
    {
      const BlPort *port = bl_at (self->board->ports, p);
      g_autoptr (GHashTable) wanted = telling_words (port->title, port->id);
      guint best = 0;
      for (guint i = 0; i < bl_len (board->stages); i++)
        {
          const BlStage *stage = bl_at (board->stages, i);
          g_autoptr (GHashTable) offered = telling_words (stage->title, stage->id);
          guint n = in_common (wanted, offered);
          if (n <= best)
            continue;
          best = n;
          g_hash_table_insert (feeds, g_strdup (port->id), g_strdup (stage->id));
        }
    }
  return feeds;
}

/* --- names --- */

/* "R12" -> "R", 12; TRUE when it is letters and a number. */
static gboolean
split (const char *id, char **letters, guint64 *number)
{
  gsize n = strcspn (id, "0123456789");

  if (n == 0 || id[n] == '\0' || strspn (id + n, "0123456789") != strlen (id + n))
    return FALSE;
  *letters = g_strndup (id, n);
  *number = g_ascii_strtoull (id + n, NULL, 10);
  return TRUE;
}

static GPtrArray *
designated (const BlBoard *board, BlKind kind)
{
  return kind == BL_KIND_COMPONENT ? board->components : board->test_points;
}

static guint64
highest (const BlBoard *board, BlKind kind, const char *letters)
{
  const GPtrArray *elements = designated (board, kind);
  guint64 most = 0;

  for (guint i = 0; i < bl_len (elements); i++)
    {
      g_autofree char *own = NULL;
      guint64 number = 0;
      /* the id is the first member of every element */
      if (split (*(char *const *) bl_at (elements, i), &own, &number) && g_str_equal (own, letters))
        most = MAX (most, number);
    }
  return most;
}

static gboolean
is_taken (const BlBoard *board, BlKind kind, const char *id)
{
  if (kind == BL_KIND_STAGE || kind == BL_KIND_MEASUREMENT)
    return bl_board_has (board, BL_KIND_STAGE, id) || bl_board_has (board, BL_KIND_MEASUREMENT, id);
  return bl_board_has (board, kind, id);
}

/* A name like id that is free in both. (transfer full) */
static char *
another_name (const BlBoard *board, const BlBoard *template, BlKind kind, const char *id)
{
  g_autofree char *letters = NULL;
  guint64 number = 0;

  if ((kind == BL_KIND_COMPONENT || kind == BL_KIND_TEST_POINT) && split (id, &letters, &number))
    return g_strdup_printf ("%s%" G_GUINT64_FORMAT, letters,
                            MAX (highest (board, kind, letters), highest (template, kind, letters)) + 1);
  for (guint i = 2;; i++)
    {
      g_autofree char *name = g_strdup_printf ("%s-%u", id, i);
      if (!is_taken (board, kind, name) && !is_taken (template, kind, name))
        return g_steal_pointer (&name);
    }
}

/* A point that two sections have, "bus +" behind the bridge and before the switch: the same name, title and ground. */
static gboolean
is_same_point (const BlBoard *board, const BlTestPoint *point)
{
  const BlTestPoint *own = bl_board_test_point (board, point->id);

  return own != NULL && point->title != NULL && g_strcmp0 (own->title, point->title) == 0
         && g_strcmp0 (own->ground, point->ground) == 0;
}

static void
rename_taken (const BlBoard *board, BlBoard *template, BlKind kind, const GPtrArray *elements)
{
  for (guint i = 0; i < bl_len (elements); i++)
    {
      g_autofree char *id = g_strdup (*(char **) bl_at (elements, i));
      if (!is_taken (board, kind, id)
          || (kind == BL_KIND_TEST_POINT && is_same_point (board, bl_at (elements, i))))
        continue;
      g_autofree char *name = another_name (board, template, kind, id);
      bl_board_rename (template, kind, id, name);
    }
}

/* --- board states --- */

static const BlState *
first_state (const BlBoard *board, gboolean live)
{
  for (guint i = 0; i < bl_len (board->states); i++)
    if ((((const BlState *) bl_at (board->states, i))->live != 0) == live)
      return bl_at (board->states, i);
  return NULL;
}

/* The template's "off" and "run" are called what the board calls them. */
static void
adopt_states (const BlBoard *board, BlBoard *template)
{
  static const char *const usual[] = { "off", "run" };

  for (int live = 0; live <= 1; live++)
    {
      const BlState *own = first_state (board, live);
      if (own != NULL && !bl_board_has (board, BL_KIND_STATE, usual[live])
          && bl_board_has (template, BL_KIND_STATE, usual[live]) && !bl_board_has (template, BL_KIND_STATE, own->id))
        bl_board_rename (template, BL_KIND_STATE, usual[live], own->id);
    }
}

static void
add_proofs (BlState *state, const BlState *more)
{
  g_autoptr (GPtrArray) all = g_ptr_array_new ();

  for (guint i = 0; state->dead_proof != NULL && state->dead_proof[i] != NULL; i++)
    g_ptr_array_add (all, state->dead_proof[i]);
  for (guint i = 0; more->dead_proof != NULL && more->dead_proof[i] != NULL; i++)
    g_ptr_array_add (all, g_strdup (more->dead_proof[i]));
  if (all->len == 0)
    return;
  g_ptr_array_add (all, NULL);
  g_free (state->dead_proof); /* its strings moved */
  state->dead_proof = (char **) g_ptr_array_free (g_steal_pointer (&all), FALSE);
}

/* A state of both: the board's words stay, the higher voltage and all proofs of dead count. */
static void
merge_state (BlState *state, const BlState *more)
{
  if (state->live != 0 && isfinite (more->volts) && !(state->volts >= more->volts))
    state->volts = more->volts;
  if (state->capacitor == NULL)
    {
      state->capacitor = g_strdup (more->capacitor);
      state->bleeder = g_strdup (more->bleeder);
    }
  add_proofs (state, more);
}

/* --- feeds --- */

static void
join_feeds (BlStage *stage, GHashTable *feeds)
{
  for (guint i = bl_len (stage->feeds); i-- > 0;)
    {
      BlFeed *feed = bl_at (stage->feeds, i);
      const char *port = g_str_has_prefix (feed->from, "port:") ? feed->from + strlen ("port:") : NULL;
      const char *from = port != NULL && feeds != NULL ? g_hash_table_lookup (feeds, port) : NULL;
      if (port == NULL)
        continue;
      if (from == NULL)
        {
          g_ptr_array_remove_index (stage->feeds, i);
          continue;
        }
      g_free (feed->from);
      feed->from = g_strdup (from);
    }
  if (bl_len (stage->feeds) == 0)
    stage->has_feeds = FALSE;
}

/* --- merging --- */

static void
merge_states (BlBoard *board, const BlBoard *template)
{
  for (guint i = 0; i < bl_len (template->states); i++)
    {
      const BlState *state = bl_at (template->states, i);
      BlState *own = NULL;
      for (guint j = 0; j < bl_len (board->states) && own == NULL; j++)
        if (g_str_equal (((BlState *) bl_at (board->states, j))->id, state->id))
          own = bl_at (board->states, j);
      if (own != NULL)
        merge_state (own, state);
      else
        bl_append (&board->states, bl_state_copy (state), (GDestroyNotify) bl_state_free);
    }
}

static void
merge_sections (BlBoard *board, const BlBoard *template)
{
  for (guint i = 0; i < bl_len (template->sections); i++)
    {
      const BlSection *section = bl_at (template->sections, i);
      if (!bl_board_has (board, BL_KIND_SECTION, section->id))
        bl_append (&board->sections, bl_section_copy (section), (GDestroyNotify) bl_section_free);
    }
}

/* A symptom of both is shown by what either says. */
static void
merge_symptoms (BlBoard *board, const BlBoard *template)
{
  for (guint i = 0; i < bl_len (template->symptoms); i++)
    {
      const BlSymptom *symptom = bl_at (template->symptoms, i);
      BlSymptom *own = NULL;
      for (guint j = 0; j < bl_len (board->symptoms) && own == NULL; j++)
        if (g_str_equal (((BlSymptom *) bl_at (board->symptoms, j))->id, symptom->id))
          own = bl_at (board->symptoms, j);
      if (own == NULL)
        bl_append (&board->symptoms, bl_symptom_copy (symptom), (GDestroyNotify) bl_symptom_free);
      for (guint j = 0; own != NULL && j < bl_len (symptom->when); j++)
        bl_append (&own->when, bl_when_copy (bl_at (symptom->when, j)), (GDestroyNotify) bl_when_free);
    }
}

static void
append_rest (BlBoard *board, const BlBoard *template)
{
  for (guint i = 0; i < bl_len (template->stages); i++)
    bl_append (&board->stages, bl_stage_copy (bl_at (template->stages, i)), (GDestroyNotify) bl_stage_free);
  for (guint i = 0; i < bl_len (template->components); i++)
    bl_append (&board->components, bl_component_copy (bl_at (template->components, i)),
               (GDestroyNotify) bl_component_free);
  for (guint i = 0; i < bl_len (template->test_points); i++)
    if (!is_same_point (board, bl_at (template->test_points, i)))
      bl_append (&board->test_points, bl_test_point_copy (bl_at (template->test_points, i)),
                 (GDestroyNotify) bl_test_point_free);
  for (guint i = 0; i < bl_len (template->measurements); i++)
    bl_append (&board->measurements, bl_measurement_copy (bl_at (template->measurements, i)),
               (GDestroyNotify) bl_measurement_free);
}

void
bl_section_template_insert (const BlSectionTemplate *self, GHashTable *feeds, BlBoard *board, GPtrArray *added)
{
  g_return_if_fail (self != NULL && board != NULL);
  g_autoptr (BlBoard) template = bl_board_copy (self->board);

  adopt_states (board, template);
  rename_taken (board, template, BL_KIND_STAGE, template->stages);
  rename_taken (board, template, BL_KIND_MEASUREMENT, template->measurements);
  rename_taken (board, template, BL_KIND_COMPONENT, template->components);
  rename_taken (board, template, BL_KIND_TEST_POINT, template->test_points);
  for (guint i = 0; i < bl_len (template->stages); i++)
    {
      BlStage *stage = bl_at (template->stages, i);
      join_feeds (stage, feeds);
      if (added != NULL)
        g_ptr_array_add (added, g_strdup (stage->id));
    }
  merge_states (board, template);
  merge_sections (board, template);
  append_rest (board, template);
  merge_symptoms (board, template);
}

gboolean
bl_edition_insert_template (BlEdition *edition, const BlSectionTemplate *self, GHashTable *feeds, GPtrArray *added,
                            GError **error)
{
  g_return_val_if_fail (BL_IS_EDITION (edition) && self != NULL, FALSE);
  g_autofree char *label = g_strdup_printf (_ ("Insert %s"), bl_section_template_title (self));

  bl_section_template_insert (self, feeds, bl_edition_begin (edition, label, NULL), added);
  return bl_edition_commit (edition, error);
}
