/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Beginning from a template: which section, and what feeds it. Shown where the part in hand is, until the
 * section is inserted or something else is taken in hand. */
#include "config.h"

#include "bl-editor-private.h"

#include <glib/gi18n-lib.h>
#include <stdlib.h>

#include "bl-section-template.h"
#include "bl-shell.h"

static const BlSectionTemplate *
chosen (BlEditor *self)
{
  return self->template != NULL ? bl_section_template_find (self->template) : NULL;
}

/* --- which one --- */

static void
template_line (BlSheet *sheet, const BlSectionTemplate *template, guint index)
{
  const BlBoard *board = template->board;
  g_autofree char *act = g_strdup_printf ("template-%u", index);
  guint stages = bl_len (board->stages), parts = bl_len (board->components), n = bl_len (board->measurements);
  g_autofree char *in_stages = g_strdup_printf (ngettext ("%u stage", "%u stages", stages), stages);
  g_autofree char *in_parts = g_strdup_printf (ngettext ("%u component", "%u components", parts), parts);
  g_autofree char *in_read = g_strdup_printf (ngettext ("%u measurement", "%u measurements", n), n);
  g_autofree char *words = g_strdup_printf ("%s · %s · %s", in_stages, in_parts, in_read);

  bl_sheet_line (sheet, "tree-row", 0, NULL, bl_section_template_title (template));
  bl_sheet_button (sheet, bl_section_template_title (template), NULL, NULL, act, NULL);
  bl_sheet_words (sheet, "", "stretch");
  bl_sheet_words (sheet, words, "muted");
}

static void
choose_lines (BlSheet *sheet)
{
  GPtrArray *all = bl_section_templates ();

  bl_sheet_line (sheet, "hand-head", 0, NULL, NULL);
  bl_sheet_words (sheet, _ ("Which section?"), "heading stretch");
  bl_sheet_button (sheet, _ ("not now"), "Esc", NULL, "template-leave", NULL);
  bl_sheet_line (sheet, NULL, 0, NULL, NULL);
  bl_sheet_words (sheet,
                  _ ("It comes with stages, components and their faults, and measurements with bands whose source is "
                     "said. Then place its test points, rename, drop and adjust."),
                  "muted wrap");
  for (guint i = 0; i < all->len; i++)
    template_line (sheet, g_ptr_array_index (all, i), i);
}

/* --- what feeds it --- */

static void
feed_chosen (GtkDropDown *choice, GParamSpec *pspec, BlEditor *self)
{
  const char *port = g_object_get_data (G_OBJECT (choice), "port");
  GPtrArray *stages = bl_edition_get_board (self->edition)->stages;
  guint at = gtk_drop_down_get_selected (choice);

  if (at == 0 || at == GTK_INVALID_LIST_POSITION || at > bl_len (stages))
    g_hash_table_remove (self->template_feeds, port);
  else
    g_hash_table_insert (self->template_feeds, g_strdup (port),
                         g_strdup (((const BlStage *) bl_at (stages, at - 1))->id));
}

static GtkWidget *
feed_choice (BlEditor *self, const char *port)
{
  const BlBoard *board = bl_edition_get_board (self->edition);
  const char *from = g_hash_table_lookup (self->template_feeds, port);
  GtkStringList *words = gtk_string_list_new (NULL);
  guint at = 0;

  gtk_string_list_append (words, _ ("nothing documented yet"));
  for (guint i = 0; i < bl_len (board->stages); i++)
    {
      const BlStage *stage = bl_at (board->stages, i);
      gtk_string_list_append (words, stage->title != NULL ? stage->title : stage->id);
      if (g_strcmp0 (stage->id, from) == 0)
        at = i + 1;
    }
  GtkWidget *choice = gtk_drop_down_new (G_LIST_MODEL (words), NULL);
  gtk_drop_down_set_selected (GTK_DROP_DOWN (choice), at);
  g_object_set_data_full (G_OBJECT (choice), "port", g_strdup (port), g_free);
  g_signal_connect_object (choice, "notify::selected", G_CALLBACK (feed_chosen), self, 0);
  return choice;
}

static void
feed_lines (BlEditor *self, BlSheet *sheet, const BlSectionTemplate *template)
{
  for (guint i = 0; i < bl_len (template->board->ports); i++)
    {
      const BlPort *port = bl_at (template->board->ports, i);
      g_autofree char *key
          = g_strdup_printf ("%s/%s/%u", template->id, port->id, bl_edition_get_generation (self->edition));
      bl_sheet_line (sheet, NULL, 0, NULL, port->title);
      bl_sheet_words (sheet, port->title, "muted stretch");
      bl_sheet_widget (sheet, key, feed_choice (self, port->id));
    }
}

static void
insert_lines (BlEditor *self, BlSheet *sheet, const BlSectionTemplate *template)
{
  bl_sheet_line (sheet, "hand-head", 0, NULL, NULL);
  bl_sheet_words (sheet, bl_section_template_title (template), "heading stretch");
  bl_sheet_button (sheet, _ ("another"), NULL, _ ("Back to the templates"), "templates", NULL);
  bl_sheet_button (sheet, _ ("not now"), "Esc", NULL, "template-leave", NULL);
  bl_sheet_line (sheet, NULL, 0, NULL, NULL);
  bl_sheet_words (sheet, template->board->notes, "muted wrap");
  if (bl_len (template->board->ports) > 0)
    {
      bl_sheet_line (sheet, "above", 0, NULL, NULL);
      bl_sheet_words (sheet, _ ("What feeds it here?"), "heading");
    }
  feed_lines (self, sheet, template);
  bl_sheet_line (sheet, "above", 0, NULL, NULL);
  bl_sheet_button (sheet, _ ("insert this section"), "Enter", NULL, "template-insert", NULL);
}

void
bl_editor_template_hand (BlEditor *self, BlSheet *sheet)
{
  const BlSectionTemplate *template = chosen (self);

  if (template == NULL)
    choose_lines (sheet);
  else
    insert_lines (self, sheet, template);
}

/* --- acts --- */

void
bl_editor_template_leave (BlEditor *self)
{
  self->choosing_template = FALSE;
  g_clear_pointer (&self->template, g_free);
  g_clear_pointer (&self->template_feeds, g_hash_table_unref);
}

static void
begin (BlEditor *self)
{
  bl_editor_template_leave (self);
  bl_editor_select (self, NULL);
  self->choosing_template = TRUE;
}

static void
choose (BlEditor *self, guint index)
{
  GPtrArray *all = bl_section_templates ();
  const BlSectionTemplate *template = index < all->len ? g_ptr_array_index (all, index) : NULL;

  if (template == NULL)
    return;
  g_free (self->template);
  self->template = g_strdup (template->id);
  g_clear_pointer (&self->template_feeds, g_hash_table_unref);
  self->template_feeds = bl_section_template_guess (template, bl_edition_get_board (self->edition));
}

static void
insert (BlEditor *self)
{
  const BlSectionTemplate *template = chosen (self);
  g_autoptr (GPtrArray) added = g_ptr_array_new_with_free_func (g_free);
  GError *error = NULL;

  if (template == NULL)
    return;
  if (!bl_edition_insert_template (self->edition, template, self->template_feeds, added, &error))
    {
      bl_editor_report (self, error);
      return;
    }
  g_autofree char *words = g_strdup_printf (
      _ ("%s inserted. Its test points wait in Points (Alt 1) to be placed on the photo."),
      bl_section_template_title (template));
  bl_editor_template_leave (self);
  if (added->len > 0)
    {
      BlRef stage = bl_ref (BL_ELEMENT_STAGE, bl_at (added, 0));
      bl_editor_go_to (self, &stage);
    }
  /* Not the first field of what is in hand now: T begins the next section. */
  gtk_widget_grab_focus (self->photo);
  bl_widget_notify (GTK_WIDGET (self), words);
}

gboolean
bl_editor_template_act (BlEditor *self, const char *act)
{
  if (g_str_equal (act, "templates"))
    begin (self);
  else if (g_str_equal (act, "template-insert"))
    insert (self);
  else if (g_str_equal (act, "template-leave"))
    bl_editor_template_leave (self);
  else if (g_str_has_prefix (act, "template-"))
    choose (self, (guint) atoi (act + strlen ("template-")));
  else
    return FALSE;
  bl_editor_queue_refresh (self);
  return TRUE;
}
