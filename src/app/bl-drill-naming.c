/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Naming what failed. A board has up to some forty stages with ten parts each: one list of all, the parts below their
 * stage, is found in by typing a designator or a word. Who names a part names its stage with it; a stage alone can be
 * named as well, by whoever did not get further. Nothing here knows what is wrong. */
#include "config.h"

#include "bl-drill-naming.h"

#include <glib/gi18n-lib.h>
#include <string.h>

#include "bl-format.h"
#include "bl-style.h"

typedef struct
{
  char *stage, *component; /* component NULL: the stage itself */
  char *find;              /* casefolded: id, title, kind, and the stage's title */
  gboolean shown;          /* by what is typed */
} Row;

struct _BlDrillNaming
{
  GtkWidget parent_instance;

  GtkWidget *box, *line, *entry, *scrolled, *list, *nothing;
  gboolean parts_only;
};

enum
{
  CHOSEN,
  TAKEN,
  N_SIGNALS
};
static guint signals[N_SIGNALS];

G_DEFINE_FINAL_TYPE (BlDrillNaming, bl_drill_naming, GTK_TYPE_WIDGET)

static void
row_free (gpointer data)
{
  Row *row = data;

  g_free (row->stage);
  g_free (row->component);
  g_free (row->find);
  g_free (row);
}

static Row *
row_of (GtkListBoxRow *widget)
{
  return widget != NULL ? g_object_get_data (G_OBJECT (widget), "row") : NULL;
}

static const Row *
marked (BlDrillNaming *self)
{
  return row_of (gtk_list_box_get_selected_row (GTK_LIST_BOX (self->list)));
}

/* --- words --- */

static const char *
titled (const char *title, const char *id)
{
  return title != NULL && *title != '\0' ? title : id;
}

const char *
bl_stage_of_part (const BlBoard *board, const BlComponent *component)
{
  g_return_val_if_fail (board != NULL && component != NULL, NULL);
  if (component->stage != NULL)
    return component->stage;
  if (bl_board_stage (board, component->id) != NULL)
    return component->id;
  for (guint m = 0; m < bl_len (component->modes); m++)
    {
      const BlMode *mode = bl_at (component->modes, m);
      for (guint i = 0; i < bl_len (mode->effects); i++)
        {
          const BlEffect *effect = bl_at (mode->effects, i);
          if (effect->on != NULL && bl_board_stage (board, effect->on) != NULL)
            return effect->on;
        }
    }
  return NULL;
}

char *
bl_part_words (const BlBoard *board, const char *component)
{
  g_return_val_if_fail (board != NULL && component != NULL, NULL);
  const BlComponent *found = bl_board_component (board, component);
  g_autofree char *kind = found != NULL ? bl_format_kind (found->kind) : NULL;
  const char *title = found != NULL && found->title != NULL && *found->title != '\0' ? found->title : kind;

  return title != NULL && *title != '\0' ? g_strdup_printf ("%s %s", component, title) : g_strdup (component);
}

char *
bl_named_words (const BlBoard *board, const char *stage, const char *component)
{
  g_return_val_if_fail (board != NULL, NULL);
  const BlStage *found = stage != NULL ? bl_board_stage (board, stage) : NULL;
  const char *title = found != NULL ? titled (found->title, found->id) : stage;
  g_autofree char *part = component != NULL ? bl_part_words (board, component) : NULL;

  if (part == NULL)
    return g_strdup (title);
  /* Translators: a part, then the stage it belongs to */
  return title != NULL ? g_strdup_printf (_ ("%s, in %s"), part, title) : g_steal_pointer (&part);
}

/* --- rows --- */

/* "Supply"; of a board in an equipment "wall: Supply". (transfer full) */
static char *
section_words (const BlBoard *board, const char *id)
{
  const BlSection *section = id != NULL ? bl_board_section (board, id) : NULL;
  const char *slash = id != NULL ? strchr (id, '/') : NULL;

  if (section == NULL)
    return g_strdup ("");
  return slash != NULL ? g_strdup_printf ("%.*s: %s", (int) (slash - id), id, titled (section->title, slash + 1))
                       : g_strdup (titled (section->title, id));
}

static void
add_row (BlDrillNaming *self, const BlBoard *board, const BlStage *stage, const BlComponent *component)
{
  const char *stage_title = stage != NULL ? titled (stage->title, stage->id) : _ ("Of no stage");
  GtkWidget *widget = gtk_list_box_row_new (), *box = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 8);
  g_autofree char *part = component != NULL ? bl_part_words (board, component->id) : NULL;
  g_autofree char *section = section_words (board, stage != NULL ? stage->section : NULL);
  g_autofree char *all = g_strdup_printf ("%s %s %s", part != NULL ? part : "", stage_title, section);
  g_autofree char *name
    = component != NULL ? g_strdup_printf (_ ("%s, in %s"), part, stage_title)
                        : g_strdup_printf (_ ("%s, stage of %s"), stage_title, section);
  Row *row = g_new0 (Row, 1);

  row->stage = g_strdup (stage != NULL ? stage->id : NULL);
  row->component = g_strdup (component != NULL ? component->id : NULL);
  row->find = g_utf8_casefold (all, -1);
  row->shown = TRUE;
  if (component != NULL)
    {
      GtkWidget *id = bl_label (component->id, "strong", 0);
      GtkWidget *rest = bl_label (g_str_has_prefix (part, component->id) ? part + strlen (component->id) : part, "muted", 0);
      gtk_widget_set_margin_start (id, 16);
      gtk_label_set_ellipsize (GTK_LABEL (rest), PANGO_ELLIPSIZE_END);
      gtk_box_append (GTK_BOX (box), id);
      gtk_box_append (GTK_BOX (box), rest);
    }
  else
    {
      GtkWidget *of = bl_label (section, "muted small", 1);
      gtk_widget_set_hexpand (of, TRUE);
      gtk_label_set_ellipsize (GTK_LABEL (of), PANGO_ELLIPSIZE_END);
      gtk_box_append (GTK_BOX (box), bl_label (stage_title, "strong", 0));
      gtk_box_append (GTK_BOX (box), of);
      gtk_widget_add_css_class (widget, "stage-row");
    }
  gtk_list_box_row_set_child (GTK_LIST_BOX_ROW (widget), box);
  g_object_set_data_full (G_OBJECT (widget), "row", row, row_free);
  bl_widget_name (widget, name);
  gtk_list_box_append (GTK_LIST_BOX (self->list), widget);
}

static void
add_parts (BlDrillNaming *self, const BlBoard *board, const BlStage *stage)
{
  for (guint i = 0; i < bl_len (board->components); i++)
    {
      const BlComponent *component = bl_at (board->components, i);
      if (g_strcmp0 (bl_stage_of_part (board, component), stage != NULL ? stage->id : NULL) == 0)
        add_row (self, board, stage, component);
    }
}

/* --- finding --- */

static gboolean
is_shown (GtkListBoxRow *widget, gpointer data)
{
  return row_of (widget)->shown;
}

/* A stage is shown with any part of it that is. How well the best fits: a designator in full before anything else. */
static void
find (BlDrillNaming *self)
{
  g_autofree char *typed = g_strstrip (g_utf8_casefold (gtk_editable_get_text (GTK_EDITABLE (self->entry)), -1));
  GtkListBoxRow *widget, *best = NULL, *stage = NULL;
  int best_fit = 0;

  for (int i = 0; (widget = gtk_list_box_get_row_at_index (GTK_LIST_BOX (self->list), i)) != NULL; i++)
    {
      Row *row = row_of (widget);
      g_autofree char *id = g_utf8_casefold (row->component != NULL ? row->component : "", -1);
      int fit = *typed != '\0' && g_str_equal (id, typed)          ? 4
                : *typed != '\0' && g_str_has_prefix (id, typed)   ? 3
                : strstr (row->find, typed) == NULL                ? 0
                : row->component == NULL                           ? 2
                                                                   : 1;
      if (row->component == NULL)
        stage = widget;
      row->shown = fit > 0;
      if (fit > 0 && stage != NULL)
        row_of (stage)->shown = TRUE;
      if (fit > best_fit)
        {
          best = widget;
          best_fit = fit;
        }
    }
  g_autofree char *none = g_strdup_printf (self->parts_only ? _ ("No part of this board is called “%s”.")
                                                            : _ ("No part or stage of this board is called “%s”."),
                                           gtk_editable_get_text (GTK_EDITABLE (self->entry)));
  gtk_label_set_label (GTK_LABEL (self->nothing), none);
  gtk_widget_set_visible (self->nothing, *typed != '\0' && best == NULL);
  gtk_list_box_invalidate_filter (GTK_LIST_BOX (self->list));
  gtk_list_box_select_row (GTK_LIST_BOX (self->list), *typed != '\0' ? best : NULL);
}

static void
move (BlDrillNaming *self, int step)
{
  GtkListBoxRow *now = gtk_list_box_get_selected_row (GTK_LIST_BOX (self->list)), *next;
  int i = now != NULL ? gtk_list_box_row_get_index (now) : step > 0 ? -1 : 0;

  do
    next = (i += step) >= 0 ? gtk_list_box_get_row_at_index (GTK_LIST_BOX (self->list), i) : NULL;
  while (next != NULL && !row_of (next)->shown);
  if (next != NULL)
    gtk_list_box_select_row (GTK_LIST_BOX (self->list), next);
}

/* What is marked is in view, also while the keyboard is in the entry, and a part with the row above it: often its stage. */
static void
reveal (BlDrillNaming *self, GtkWidget *row)
{
  GtkAdjustment *adjustment = gtk_scrolled_window_get_vadjustment (GTK_SCROLLED_WINDOW (self->scrolled));
  graphene_rect_t bounds;

  if (row != NULL && gtk_widget_compute_bounds (row, self->list, &bounds))
    gtk_adjustment_clamp_page (adjustment, MAX (0, bounds.origin.y - bounds.size.height),
                               bounds.origin.y + bounds.size.height);
}

static void
row_selected (BlDrillNaming *self, GtkListBoxRow *row)
{
  reveal (self, GTK_WIDGET (row));
  g_signal_emit (self, signals[CHOSEN], 0);
}

static void
take (BlDrillNaming *self)
{
  if (marked (self) != NULL)
    g_signal_emit (self, signals[TAKEN], 0);
}

/* --- object --- */

static void
bl_drill_naming_dispose (GObject *object)
{
  BlDrillNaming *self = BL_DRILL_NAMING (object);

  g_clear_pointer (&self->box, gtk_widget_unparent);
  G_OBJECT_CLASS (bl_drill_naming_parent_class)->dispose (object);
}

static void
bl_drill_naming_class_init (BlDrillNamingClass *klass)
{
  G_OBJECT_CLASS (klass)->dispose = bl_drill_naming_dispose;
  gtk_widget_class_set_layout_manager_type (GTK_WIDGET_CLASS (klass), GTK_TYPE_BIN_LAYOUT);
  signals[CHOSEN] = g_signal_new ("chosen", BL_TYPE_DRILL_NAMING, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 0);
  signals[TAKEN] = g_signal_new ("taken", BL_TYPE_DRILL_NAMING, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 0);
}

static void
bl_drill_naming_init (BlDrillNaming *self)
{
  self->box = gtk_box_new (GTK_ORIENTATION_VERTICAL, 4);
  self->line = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 8);
  self->entry = gtk_entry_new ();
  self->scrolled = gtk_scrolled_window_new ();
  self->list = gtk_list_box_new ();
  gtk_entry_set_placeholder_text (GTK_ENTRY (self->entry), _ ("part or stage: K1, 5 V ..."));
  bl_widget_name (self->entry, _ ("What failed: part or stage"));
  gtk_widget_add_css_class (self->list, "naming-list");
  gtk_list_box_set_activate_on_single_click (GTK_LIST_BOX (self->list), FALSE);
  self->nothing = bl_label ("", "strong", 0);
  gtk_label_set_wrap (GTK_LABEL (self->nothing), TRUE);
  gtk_label_set_max_width_chars (GTK_LABEL (self->nothing), 20);
  gtk_widget_set_margin_top (self->nothing, 6);
  gtk_widget_set_visible (self->nothing, FALSE);
  gtk_list_box_set_filter_func (GTK_LIST_BOX (self->list), is_shown, NULL, NULL);
  gtk_scrolled_window_set_policy (GTK_SCROLLED_WINDOW (self->scrolled), GTK_POLICY_NEVER, GTK_POLICY_AUTOMATIC);
  gtk_scrolled_window_set_child (GTK_SCROLLED_WINDOW (self->scrolled), self->list);
  gtk_widget_set_vexpand (self->scrolled, TRUE);
  gtk_widget_add_css_class (self->entry, "naming-entry");
  gtk_widget_add_css_class (self->scrolled, "naming-scrolled");
  gtk_widget_set_hexpand (self->entry, TRUE);
  gtk_box_append (GTK_BOX (self->line), self->entry);
  gtk_box_append (GTK_BOX (self->box), self->line);
  gtk_box_append (GTK_BOX (self->box), self->nothing);
  gtk_box_append (GTK_BOX (self->box), self->scrolled);
  gtk_widget_set_parent (self->box, GTK_WIDGET (self));
  g_signal_connect_swapped (self->entry, "changed", G_CALLBACK (find), self);
  g_signal_connect_swapped (self->entry, "activate", G_CALLBACK (take), self);
  g_signal_connect_swapped (self->list, "row-selected", G_CALLBACK (row_selected), self);
  g_signal_connect_swapped (self->list, "row-activated", G_CALLBACK (take), self);
}

GtkWidget *
bl_drill_naming_new (GtkWidget *head)
{
  BlDrillNaming *self = g_object_new (BL_TYPE_DRILL_NAMING, NULL);

  if (head != NULL)
    gtk_box_prepend (GTK_BOX (self->line), head);
  return GTK_WIDGET (self);
}

void
bl_drill_naming_set_board (BlDrillNaming *self, const BlBoard *board, gboolean parts_only)
{
  g_return_if_fail (BL_IS_DRILL_NAMING (self) && board != NULL);
  self->parts_only = parts_only;
  if (parts_only)
    gtk_entry_set_placeholder_text (GTK_ENTRY (self->entry), _ ("part: K1, D5 ..."));
  bl_widget_clear (self->list);
  for (guint i = 0; i < bl_len (board->stages); i++)
    {
      if (!parts_only)
        add_row (self, board, bl_at (board->stages, i), NULL);
      add_parts (self, board, bl_at (board->stages, i));
    }
  add_parts (self, board, NULL);
}

const char *
bl_drill_naming_get_stage (BlDrillNaming *self)
{
  g_return_val_if_fail (BL_IS_DRILL_NAMING (self), NULL);
  return marked (self) != NULL ? marked (self)->stage : NULL;
}

const char *
bl_drill_naming_get_component (BlDrillNaming *self)
{
  g_return_val_if_fail (BL_IS_DRILL_NAMING (self), NULL);
  return marked (self) != NULL ? marked (self)->component : NULL;
}

void
bl_drill_naming_clear (BlDrillNaming *self)
{
  g_return_if_fail (BL_IS_DRILL_NAMING (self));
  gtk_editable_set_text (GTK_EDITABLE (self->entry), "");
  gtk_list_box_select_row (GTK_LIST_BOX (self->list), NULL);
}

void
bl_drill_naming_focus (BlDrillNaming *self)
{
  g_return_if_fail (BL_IS_DRILL_NAMING (self));
  gtk_widget_grab_focus (self->entry);
}

gboolean
bl_drill_naming_key (BlDrillNaming *self, guint keyval, GdkModifierType state)
{
  g_return_val_if_fail (BL_IS_DRILL_NAMING (self), FALSE);
  GtkRoot *root = gtk_widget_get_root (GTK_WIDGET (self));
  GtkWidget *focus = root != NULL ? gtk_root_get_focus (root) : NULL;
  gunichar letter = gdk_keyval_to_unicode (keyval);
  char text[8] = "";

  if (focus == NULL || !gtk_widget_is_ancestor (focus, GTK_WIDGET (self))
      || (state & (GDK_CONTROL_MASK | GDK_ALT_MASK)) != 0)
    return FALSE;
  if (keyval == GDK_KEY_Down || keyval == GDK_KEY_Up)
    {
      move (self, keyval == GDK_KEY_Down ? 1 : -1);
      return TRUE;
    }
  if (GTK_IS_EDITABLE (focus) || !g_unichar_isalnum (letter))
    return FALSE;
  g_unichar_to_utf8 (letter, text);
  gtk_widget_grab_focus (self->entry);
  gtk_editable_set_text (GTK_EDITABLE (self->entry), text);
  gtk_editable_set_position (GTK_EDITABLE (self->entry), -1);
  return TRUE;
}
