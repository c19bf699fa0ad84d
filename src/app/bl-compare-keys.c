/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The keys of the comparison in one table: what they do, the strip at its foot, the help. Plain letters count only
 * while the focus is in no entry. */
#include "config.h"

#include "bl-compare-private.h"

#include <glib/gi18n-lib.h>

#include "bl-shell.h"
#include "bl-style.h"

typedef enum
{
  BACK,
  SIDE,
  WHOSE,
  TAKE,
  TICK,
  EDIT,
  FIT,
  SEARCH,
  UNDO,
  REDO,
  COPY,
  TAB_1,
  TAB_2
} Act;

#define C GDK_CONTROL_MASK
#define S GDK_SHIFT_MASK
#define A GDK_ALT_MASK
#define DIFFERENCES (1 << BL_COMPARE_DIFFERENCES)
#define LOOK (1 << BL_COMPARE_LOOK)
#define BOTH (DIFFERENCES | LOOK)

static const struct
{
  guint keyval;
  GdkModifierType modifiers;
  gboolean plain; /* not while typing */
  guint tabs;
  Act act;
  const char *cap, *label; /* NULL: not in the strip */
} keys[] = {
  { GDK_KEY_x, 0, TRUE, BOTH, WHOSE, N_ ("X"), N_ ("photo of the other edition") },
  { GDK_KEY_t, 0, TRUE, DIFFERENCES, TAKE, N_ ("T"), N_ ("take over") },
  { GDK_KEY_space, 0, TRUE, LOOK, TICK, N_ ("Space"), N_ ("it is the same, next") },
  { GDK_KEY_e, 0, TRUE, BOTH, EDIT, N_ ("E"), N_ ("edit it") },
  { GDK_KEY_slash, 0, TRUE, DIFFERENCES, SEARCH, N_ ("/"), N_ ("search") },
  { GDK_KEY_F3, 0, FALSE, BOTH, SIDE, N_ ("F3"), N_ ("front, back") },
  { GDK_KEY_z, 0, TRUE, BOTH, FIT, N_ ("Z"), N_ ("whole board") },
  { GDK_KEY_z, C, FALSE, BOTH, UNDO, N_ ("Ctrl Z"), N_ ("undo") },
  { GDK_KEY_z, C | S, FALSE, BOTH, REDO, N_ ("Ctrl Shift Z"), N_ ("redo") },
  { GDK_KEY_c, C, TRUE, DIFFERENCES, COPY, N_ ("Ctrl C"), N_ ("copy as text") },
  { GDK_KEY_1, A, FALSE, BOTH, TAB_1, N_ ("Alt 1 2"), N_ ("lists") },
  { GDK_KEY_2, A, FALSE, BOTH, TAB_2, NULL, NULL },
  { GDK_KEY_Escape, 0, FALSE, BOTH, BACK, N_ ("Esc"), N_ ("back") },
};

/* --- What they do ----------------------------------------------------------------------------- */

static void
step (BlCompareView *self, gboolean back)
{
  GError *error = NULL;
  g_autofree char *label
    = g_strdup (back ? bl_edition_get_undo_label (self->edition) : bl_edition_get_redo_label (self->edition));

  if (label == NULL)
    return;
  if (!(back ? bl_edition_undo (self->edition, &error) : bl_edition_redo (self->edition, &error)))
    {
      bl_widget_report (GTK_WIDGET (self), _ ("Nothing was changed"), error);
      return;
    }
  g_autofree char *words = g_strdup_printf (back ? _ ("Undone: %s") : _ ("Done again: %s"), label);
  bl_widget_notify (GTK_WIDGET (self), words);
}

static void
copy_text (BlCompareView *self)
{
  g_autofree char *text = self->comparison != NULL ? bl_comparison_to_text (self->comparison) : NULL;

  if (text == NULL)
    return;
  gdk_clipboard_set_text (gtk_widget_get_clipboard (GTK_WIDGET (self)), text);
  bl_widget_notify (GTK_WIDGET (self), _ ("What differs was copied as text."));
}

static void
take (BlCompareView *self)
{
  const BlDifference *difference = bl_compare_find (self, self->selected);

  if (difference != NULL && bl_compare_list_has (self, difference))
    bl_compare_take (self, difference, NULL);
}

static void
back (BlCompareView *self, gboolean typing)
{
  GtkEditable *search = GTK_EDITABLE (self->search);

  if (typing && *gtk_editable_get_text (search) != '\0')
    gtk_editable_set_text (search, "");
  else if (typing)
    gtk_widget_grab_focus (self->list);
  else
    g_signal_emit_by_name (self, "closed");
}

static void
show_tab (BlCompareView *self, int tab)
{
  if (tab == BL_COMPARE_LOOK && self->origin == NULL)
    return;
  gtk_stack_set_visible_child_name (GTK_STACK (self->stack), tab == BL_COMPARE_LOOK ? "look" : "differences");
  self->fresh = TRUE;
  g_clear_pointer (&self->selected, g_free);
  bl_compare_queue_refresh (self);
}

static void
run (BlCompareView *self, Act act, gboolean typing)
{
  switch (act)
    {
    case BACK:
      back (self, typing);
      break;
    case SIDE:
      bl_compare_photo_side (self);
      break;
    case WHOSE:
      bl_compare_photo_show (self, !self->theirs_shown, NULL);
      break;
    case TAKE:
      take (self);
      break;
    case TICK:
      bl_compare_look_tick (self);
      break;
    case EDIT:
      bl_compare_edit (self);
      break;
    case FIT:
      bl_photo_view_fit (BL_PHOTO_VIEW (self->photo));
      break;
    case SEARCH:
      gtk_widget_grab_focus (self->search);
      break;
    case UNDO:
    case REDO:
      step (self, act == UNDO);
      break;
    case COPY:
      copy_text (self);
      break;
    case TAB_1:
    case TAB_2:
      show_tab (self, act == TAB_2 ? BL_COMPARE_LOOK : BL_COMPARE_DIFFERENCES);
      break;
    default:
      g_assert_not_reached ();
    }
}

gboolean
bl_compare_view_key (BlCompareView *self, guint keyval, GdkModifierType state)
{
  g_return_val_if_fail (BL_IS_COMPARE_VIEW (self), FALSE);
  GtkRoot *root = gtk_widget_get_root (GTK_WIDGET (self));
  GtkWidget *focus = root != NULL ? gtk_root_get_focus (root) : NULL;
  gboolean typing = GTK_IS_TEXT (focus);
  guint lower = gdk_keyval_to_lower (keyval);

  if (self->edition == NULL || (focus != NULL && gtk_widget_get_ancestor (focus, GTK_TYPE_POPOVER) != NULL))
    return FALSE;
  /* What is typed has its own undo. */
  gboolean typed = typing && *gtk_editable_get_text (GTK_EDITABLE (focus)) != '\0';
  for (guint i = 0; i < G_N_ELEMENTS (keys); i++)
    if (keys[i].keyval == lower && keys[i].modifiers == (state & (C | S | A)) && !(keys[i].plain && typing)
        && (keys[i].tabs & (1u << bl_compare_tab (self))) != 0)
      {
        if (typed && (keys[i].act == UNDO || keys[i].act == REDO))
          return FALSE;
        run (self, keys[i].act, typing);
        return TRUE;
      }
  return FALSE;
}

/* --- Where they are shown --------------------------------------------------------------------- */

void
bl_compare_keys_show (BlCompareView *self)
{
  bl_widget_clear (self->keys);
  for (guint i = 0; i < G_N_ELEMENTS (keys); i++)
    {
      GtkWidget *key;
      if (keys[i].cap == NULL || (keys[i].tabs & (1u << bl_compare_tab (self))) == 0)
        continue;
      key = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 6);
      gtk_box_append (GTK_BOX (key), bl_key_cap (_ (keys[i].cap)));
      gtk_box_append (GTK_BOX (key), bl_label (_ (keys[i].label), "muted", 0));
      gtk_box_append (GTK_BOX (self->keys), key);
    }
}

int
bl_compare_keys_list (GtkGrid *grid, int column, int row)
{
  gtk_grid_attach (grid, bl_label (_ ("Two editions beside each other"), "heading", 0), column, row++, 2, 1);
  for (guint i = 0; i < G_N_ELEMENTS (keys); i++)
    if (keys[i].plain && keys[i].cap != NULL)
      {
        GtkWidget *cap = bl_key_cap (_ (keys[i].cap));
        gtk_widget_set_halign (cap, GTK_ALIGN_END);
        gtk_grid_attach (grid, cap, column, row, 1, 1);
        gtk_grid_attach (grid, bl_label (_ (keys[i].label), NULL, 0), column + 1, row++, 1, 1);
      }
  return row;
}
