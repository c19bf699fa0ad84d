/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the editor says about sections, stages and components: the one in hand in sentences, below it
 * the whole structure with what feeds what. */
#include "config.h"

#include "bl-editor-private.h"

#include <glib/gi18n-lib.h>

#include "bl-edition-placing.h"
#include "bl-format.h"

#include "bl-part-value.h"
#include "bl-weight-words.h"

static void
add_button (BlSheet *sheet, BlElement element, const char *words, const char *tip, const BlRef *ref)
{
  g_autofree char *act = g_strdup_printf ("add-%d", element);
  bl_sheet_button (sheet, words, NULL, tip, act, ref);
}

static const char *
title_or_id (const char *title, const char *id)
{
  return title != NULL && *title != '\0' ? title : id;
}

/* --- outlines --- */

static guint
count_on (const GPtrArray *outlines, const char *photo)
{
  guint n = 0;

  for (guint i = 0; i < bl_len (outlines); i++)
    n += g_strcmp0 (((BlOutline *) bl_at (outlines, i))->photo, photo) == 0;
  return n;
}

static void
outline_line (BlEditor *self, BlSheet *sheet, const GPtrArray *outlines, const BlRef *ref)
{
  guint n = count_on (outlines, self->photo_id);

  bl_sheet_line (sheet, NULL, 0, NULL, NULL);
  if (n == 0)
    bl_sheet_words (sheet, _ ("not outlined on this photo"), "muted");
  else
    {
      g_autofree char *words
        = g_strdup_printf (ngettext ("%u outline on this photo", "%u outlines on this photo", n), n);
      bl_sheet_words (sheet, words, "muted");
    }
  bl_sheet_button (sheet, _ ("rectangle"), "R", _ ("Draw a rectangle"), "tool-rectangle", ref);
  bl_sheet_button (sheet, _ ("polygon"), "G", _ ("Draw a polygon: press corner after corner, Enter closes it"),
                   "tool-polygon", ref);
  if (n == 0)
    return;
  bl_sheet_button (sheet, _ ("delete outline"), NULL, NULL, "remove-outlines", ref);
  bl_sheet_line (sheet, NULL, 0, NULL, NULL);
  bl_sheet_words (sheet,
                  _ ("Drag a corner; drag an edge to make a corner there; press a corner, Del takes it out. Its name, or "
                     "Shift, drags it whole. Ctrl does not catch."),
                  "muted small wrap");
}

/* --- sections, ports --- */

static void
section_hand (BlEditor *self, BlSheet *sheet, const BlSection *section)
{
  BlRef ref = bl_ref (BL_ELEMENT_SECTION, section->id);

  bl_sheet_line (sheet, "hand-head", 0, NULL, NULL);
  bl_sheet_words (sheet, _ ("Section"), "muted");
  bl_sheet_slot (sheet, &ref, BL_SLOT_TITLE, -1, FALSE);
  bl_sheet_button (sheet, "✕", NULL, _ ("Delete this section with all its stages"), "remove", &ref);
  bl_sheet_line (sheet, NULL, 0, NULL, NULL);
  bl_sheet_slot (sheet, &ref, BL_SLOT_KIND, 16, TRUE);
  bl_sheet_slot (sheet, &ref, BL_SLOT_ID, 14, TRUE);
  outline_line (self, sheet, section->outlines, &ref);
  bl_sheet_line (sheet, NULL, 0, NULL, NULL);
  add_button (sheet, BL_ELEMENT_STAGE, _ ("+ stage"), _ ("Add a stage to this section"), &ref);
}

static void
port_hand (BlSheet *sheet, const BlPort *port)
{
  BlRef ref = bl_ref (BL_ELEMENT_PORT, port->id);

  bl_sheet_line (sheet, "hand-head", 0, NULL, NULL);
  bl_sheet_words (sheet, _ ("Port"), "muted");
  bl_sheet_slot (sheet, &ref, BL_SLOT_TITLE, -1, FALSE);
  bl_sheet_button (sheet, "✕", NULL, _ ("Delete this port"), "remove", &ref);
  bl_sheet_line (sheet, NULL, 0, NULL, NULL);
  bl_sheet_slot (sheet, &ref, BL_SLOT_ID, 14, TRUE);
  bl_sheet_line (sheet, NULL, 0, NULL, NULL);
  bl_sheet_words (sheet,
                  _ ("A port is where a conductor from another board arrives. It counts as good unless an equipment "
                     "joins something to it."),
                  "muted wrap");
}

/* --- stages --- */

static void
feed_lines (BlSheet *sheet, const BlStage *stage)
{
  for (guint i = 0; i < bl_len (stage->feeds); i++)
    {
      BlRef feed = bl_ref_at (BL_ELEMENT_FEED, stage->id, i);
      const BlFeed *now = bl_at (stage->feeds, i);
      bl_sheet_line (sheet, i == 0 ? "above" : NULL, 0, NULL, NULL);
      bl_sheet_slot (sheet, &feed, BL_SLOT_FROM, 0, TRUE);
      bl_sheet_button (sheet, "✕", NULL, _ ("Delete this feed"), "remove", &feed);
      bl_sheet_line (sheet, NULL, 24, NULL, NULL);
      bl_sheet_words (sheet, now->passes.set ? _ ("here its") : _ ("passes unchanged; here its"), "muted");
      bl_sheet_slot (sheet, &feed, BL_SLOT_PASS_ABSENT, 0, TRUE);
      bl_sheet_slot (sheet, &feed, BL_SLOT_PASS_LOW, 0, TRUE);
      bl_sheet_line (sheet, NULL, 24, NULL, NULL);
      bl_sheet_slot (sheet, &feed, BL_SLOT_PASS_HIGH, 0, TRUE);
      bl_sheet_slot (sheet, &feed, BL_SLOT_PASS_UNSTEADY, 0, TRUE);
    }
}

/* "TP5, TP7" that read the stage. (transfer full) */
static char *
read_at (const BlBoard *board, const char *stage)
{
  g_autoptr (GPtrArray) names = g_ptr_array_new_with_free_func (g_free);

  g_ptr_array_add (names, NULL);
  for (guint i = 0; i < bl_len (board->measurements); i++)
    {
      const BlMeasurement *measurement = bl_at (board->measurements, i);
      const char *name = measurement->at != NULL ? measurement->at : measurement->id;
      if (g_strcmp0 (measurement->reads, stage) == 0 && !g_strv_contains ((const char *const *) names->pdata, name))
        g_ptr_array_insert (names, (int) names->len - 1, g_strdup (name));
    }
  return g_strjoinv (", ", (char **) names->pdata);
}

static void
stage_hand (BlEditor *self, BlSheet *sheet, const BlStage *stage)
{
  BlRef ref = bl_ref (BL_ELEMENT_STAGE, stage->id);
  g_autofree char *points = read_at (bl_edition_get_board (self->edition), stage->id);
  g_autofree char *seen = *points != '\0' ? g_strdup_printf (_ ("its output is read at %s"), points)
                                          : g_strdup (_ ("no measurement reads its output yet: say so at a measurement "
                                                         "of Points"));

  bl_sheet_line (sheet, "hand-head", 0, NULL, NULL);
  bl_sheet_words (sheet, _ ("Stage"), "muted");
  bl_sheet_slot (sheet, &ref, BL_SLOT_TITLE, -1, FALSE);
  bl_sheet_button (sheet, "✕", NULL, _ ("Delete this stage with its components"), "remove", &ref);
  bl_sheet_line (sheet, NULL, 0, NULL, NULL);
  bl_sheet_slot (sheet, &ref, BL_SLOT_SECTION, 0, TRUE);
  bl_sheet_slot (sheet, &ref, BL_SLOT_ID, 14, TRUE);
  bl_sheet_line (sheet, NULL, 0, NULL, NULL);
  bl_sheet_words (sheet, seen, "muted wrap");
  feed_lines (sheet, stage);
  bl_sheet_line (sheet, bl_len (stage->feeds) == 0 ? "above" : NULL, 0, NULL, NULL);
  if (bl_len (stage->feeds) == 0)
    bl_sheet_words (sheet, _ ("fed by nothing on this board"), "muted");
  if (bl_len (stage->feeds) > 1 || stage->need != BL_NEED_LEFT_OUT)
    bl_sheet_slot (sheet, &ref, BL_SLOT_NEED, 0, TRUE);
  add_button (sheet, BL_ELEMENT_FEED, _ ("+ feed"), _ ("Add a stage or port that feeds this stage"), &ref);
  add_button (sheet, BL_ELEMENT_COMPONENT, _ ("+ component"), _ ("Add a component to this stage"), &ref);
  outline_line (self, sheet, stage->outlines, &ref);
}

/* --- components --- */

static void
component_hand (BlEditor *self, BlSheet *sheet, const BlComponent *component)
{
  BlRef ref = bl_ref (BL_ELEMENT_COMPONENT, component->id);
  g_autofree char *weight = bl_component_weight_words (component);

  bl_sheet_line (sheet, "hand-head", 0, NULL, NULL);
  bl_sheet_slot (sheet, &ref, BL_SLOT_ID, 6, FALSE);
  bl_sheet_slot (sheet, &ref, BL_SLOT_TITLE, -1, FALSE);
  bl_sheet_slot (sheet, &ref, BL_SLOT_VALUE, 10, TRUE);
  bl_sheet_button (sheet, "✕", NULL, _ ("Delete this component"), "remove", &ref);
  bl_sheet_line (sheet, "value-line", 0, NULL, NULL);
  bl_sheet_widget (sheet, component->id, bl_part_value_new (sheet, self->edition, component->id));
  bl_sheet_line (sheet, NULL, 0, NULL, NULL);
  bl_sheet_slot (sheet, &ref, BL_SLOT_KIND, 20, TRUE);
  bl_sheet_slot (sheet, &ref, BL_SLOT_STAGE, 0, TRUE);
  bl_sheet_line (sheet, NULL, 0, NULL, NULL);
  bl_sheet_slot (sheet, &ref, BL_SLOT_WEIGHT, 12, TRUE);
  if (component->photo != NULL)
    bl_sheet_button (sheet, _ ("place anew"), NULL, _ ("Place this component elsewhere: press on the photo"),
                     "place-selected", &ref);
  else
    bl_sheet_button (sheet, _ ("place on the photo"), "P", NULL, "tool-point", &ref);
  bl_sheet_line (sheet, NULL, 0, NULL, NULL);
  bl_sheet_slot (sheet, &ref, BL_SLOT_FACTOR, 5, TRUE);
  bl_sheet_slot (sheet, &ref, BL_SLOT_FACTOR_REASON, -1, TRUE);
  bl_sheet_line (sheet, NULL, 0, NULL, NULL);
  bl_sheet_words (sheet, weight, "muted small wrap");
  bl_editor_modes_hand (self, sheet, component);
}

/* Components on the photo, one after the other: new ones, and those that the document has already. */
static void
placing_line (BlSheet *sheet, const BlBoard *board)
{
  g_autoptr (GPtrArray) waiting = bl_placing_waiting (board, BL_ELEMENT_COMPONENT);

  bl_sheet_line (sheet, NULL, 0, NULL, NULL);
  bl_sheet_button (sheet, _ ("place components"), "P",
                   _ ("Press after press: R12, R13 …; the stage is the one whose outline is pressed"), "tool-point",
                   NULL);
  if (waiting->len == 0)
    return;
  g_autofree char *words = g_strdup_printf (ngettext ("place the %u without a place", "place the %u without a place",
                                                      waiting->len),
                                            waiting->len);
  bl_sheet_button (sheet, words, _ ("Shift P"), _ ("One after the other; the name of the next goes with the pointer"),
                   "place-waiting", NULL);
}

void
bl_editor_structure_hand (BlEditor *self, BlSheet *sheet)
{
  const BlBoard *board = bl_edition_get_board (self->edition);
  gconstpointer found = self->has_selected ? bl_ref_find (board, &self->selected) : NULL;

  if (self->choosing_template)
    bl_editor_template_hand (self, sheet);
  else if (found != NULL && self->selected.element == BL_ELEMENT_SECTION)
    section_hand (self, sheet, found);
  else if (found != NULL && self->selected.element == BL_ELEMENT_STAGE)
    stage_hand (self, sheet, found);
  else if (found != NULL && self->selected.element == BL_ELEMENT_COMPONENT)
    component_hand (self, sheet, found);
  else if (found != NULL && self->selected.element == BL_ELEMENT_PORT)
    port_hand (sheet, found);
  else
    {
      bl_sheet_line (sheet, NULL, 0, NULL, NULL);
      bl_sheet_words (sheet, _ ("Nothing in hand"), "heading");
      bl_sheet_line (sheet, NULL, 0, NULL, NULL);
      bl_sheet_words (sheet,
                      _ ("A section is a part of the board that a technician names: supply, relay, communication. A "
                         "stage is the smallest block with one output one can measure, and says what feeds it. A "
                         "component belongs to a stage and says what the stage does when it fails. Choose one below, "
                         "or add one."),
                      "muted wrap");
      if (bl_len (board->stages) > 0)
        placing_line (sheet, board);
    }
}

/* --- the whole structure --- */

static char *
feeds_words (const BlBoard *board, const BlStage *stage)
{
  g_autoptr (GString) words = g_string_new (NULL);

  for (guint i = 0; i < bl_len (stage->feeds); i++)
    {
      const BlFeed *feed = bl_at (stage->feeds, i);
      const BlStage *other = bl_board_stage (board, feed->from);
      g_string_append_printf (words, "%s%s", i > 0 ? ", " : "", other != NULL ? title_or_id (other->title, other->id)
                                                                              : feed->from);
    }
  if (words->len == 0)
    return NULL;
  return g_strdup_printf (_ ("fed by %s"), words->str);
}

static void
component_row (BlSheet *sheet, const BlComponent *component)
{
  BlRef ref = bl_ref (BL_ELEMENT_COMPONENT, component->id);
  guint n = bl_len (component->modes);
  g_autofree char *modes = n == 0 ? g_strdup (_ ("no failure mode yet"))
                                  : g_strdup_printf (ngettext ("%u failure mode", "%u failure modes", n), n);
  g_autofree char *kind = bl_format_kind (component->kind);
  g_autofree char *what = g_strdup_printf ("%s %s", kind, component->value != NULL ? component->value : "");
  g_autofree char *label = g_strdup_printf (_ ("Component %s, %s, %s"), component->id, g_strstrip (what), modes);

  bl_sheet_line (sheet, "tree-row", 40, &ref, label);
  bl_sheet_name (sheet, component->id, "strong id-column");
  bl_sheet_words (sheet, what, "stretch");
  bl_sheet_words (sheet, modes, "muted");
}

static void
stage_row (BlSheet *sheet, const BlBoard *board, const BlStage *stage)
{
  BlRef ref = bl_ref (BL_ELEMENT_STAGE, stage->id);
  const char *title = title_or_id (stage->title, stage->id);
  g_autofree char *feeds = feeds_words (board, stage), *points = read_at (board, stage->id);
  g_autofree char *seen = *points != '\0' ? g_strdup_printf (_ ("read at %s"), points) : g_strdup (_ ("not read"));
  g_autofree char *label =
      g_strdup_printf (_ ("Stage %s, %s, %s"), title, feeds != NULL ? feeds : _ ("no feeds"), seen);

  bl_sheet_line (sheet, "tree-row", 20, &ref, label);
  bl_sheet_name (sheet, title, NULL);
  bl_sheet_words (sheet, feeds != NULL ? feeds : "", "muted stretch");
  bl_sheet_words (sheet, seen, "muted");
  add_button (sheet, BL_ELEMENT_COMPONENT, _ ("+ component"), _ ("Add a component to this stage"), &ref);
  for (guint i = 0; i < bl_len (board->components); i++)
    {
      const BlComponent *component = bl_at (board->components, i);
      if (g_strcmp0 (component->stage, stage->id) == 0)
        component_row (sheet, component);
    }
}

static void
section_row (BlSheet *sheet, const BlBoard *board, const BlSection *section)
{
  BlRef ref = bl_ref (BL_ELEMENT_SECTION, section->id);
  const char *title = title_or_id (section->title, section->id);
  g_autofree char *label = g_strdup_printf (_ ("Section %s"), title);

  bl_sheet_line (sheet, "tree-row above", 0, &ref, label);
  bl_sheet_name (sheet, title, "strong");
  bl_sheet_words (sheet, section->kind != NULL ? section->kind : "", "muted stretch");
  add_button (sheet, BL_ELEMENT_STAGE, _ ("+ stage"), _ ("Add a stage to this section"), &ref);
  for (guint i = 0; i < bl_len (board->stages); i++)
    {
      const BlStage *stage = bl_at (board->stages, i);
      if (g_strcmp0 (stage->section, section->id) == 0)
        stage_row (sheet, board, stage);
    }
}

void
bl_editor_structure_list (BlEditor *self, BlSheet *sheet)
{
  const BlBoard *board = bl_edition_get_board (self->edition);
  BlRef root = bl_ref (BL_ELEMENT_BOARD, NULL);

  if (bl_editor_preview_list (self, sheet))
    return;
  bl_sheet_line (sheet, "list-head", 0, NULL, NULL);
  bl_sheet_words (sheet, _ ("Structure"), "heading stretch");
  bl_sheet_button (sheet, _ ("+ from a template"), "T", _ ("Add a section as boards of this trade usually have it"),
                   "templates", NULL);
  add_button (sheet, BL_ELEMENT_SECTION, _ ("+ section"), _ ("Add a section"), &root);
  add_button (sheet, BL_ELEMENT_PORT, _ ("+ port"), _ ("Add a port: where another board's conductor arrives"), &root);
  for (guint i = 0; i < bl_len (board->sections); i++)
    section_row (sheet, board, bl_at (board->sections, i));
  for (guint i = 0; i < bl_len (board->ports); i++)
    {
      const BlPort *port = bl_at (board->ports, i);
      BlRef ref = bl_ref (BL_ELEMENT_PORT, port->id);
      g_autofree char *label = g_strdup_printf (_ ("Port %s"), title_or_id (port->title, port->id));
      bl_sheet_line (sheet, i == 0 ? "tree-row above" : "tree-row", 0, &ref, label);
      bl_sheet_name (sheet, title_or_id (port->title, port->id), NULL);
      bl_sheet_words (sheet, _ ("port: from another board"), "muted stretch");
    }
}
