/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The boards: a list of the documented editions with a small photo of each. Some hundred rows. */
#include "config.h"

#include "bl-boards-page.h"

#include <glib/gi18n-lib.h>

#include "bl-style.h"
#include "bl-window.h"

struct _BlBoardsPage
{
  GtkWidget parent_instance;

  BlLibrary *library; /* of the application */
  GtkListBox *list;
  GtkLabel *empty;
};

G_DEFINE_FINAL_TYPE (BlBoardsPage, bl_boards_page, GTK_TYPE_WIDGET)

static GtkWidget *
thumbnail (BlBoardsPage *self, gint64 board)
{
  GtkWidget *picture = gtk_picture_new ();
  g_autoptr (GBytes) image = bl_library_get_board_thumbnail (self->library, board, NULL);
  g_autoptr (GdkTexture) texture = image != NULL ? gdk_texture_new_from_bytes (image, NULL) : NULL;

  if (texture != NULL)
    gtk_picture_set_paintable (GTK_PICTURE (picture), GDK_PAINTABLE (texture));
  gtk_picture_set_content_fit (GTK_PICTURE (picture), GTK_CONTENT_FIT_COVER);
  gtk_widget_set_size_request (picture, 96, 64);
  gtk_widget_add_css_class (picture, "thumbnail");
  return picture;
}

static const char *
or_dash (const char *text)
{
  return text != NULL && *text != '\0' ? text : "–";
}

static GtkWidget *
row_of (BlBoardsPage *self, const BlBoardRow *board)
{
  GtkWidget *row = gtk_list_box_row_new (), *box = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 16);
  GtkWidget *words = gtk_box_new (GTK_ORIENTATION_VERTICAL, 2);
  g_autofree char *title = g_strdup_printf (_ ("%s, edition %s"), or_dash (board->board_number),
                                            or_dash (board->edition));
  g_autofree char *maker = g_strdup_printf ("%s  %s", or_dash (board->maker),
                                            board->model != NULL ? board->model : "");
  g_autofree char *measurements
    = g_strdup_printf (ngettext ("%u measurement", "%u measurements", board->n_measurements), board->n_measurements);
  g_autofree char *components
    = g_strdup_printf (ngettext ("%u component", "%u components", board->n_components), board->n_components);
  g_autofree char *jobs = g_strdup_printf (ngettext ("%u job", "%u jobs", board->n_jobs), board->n_jobs);
  g_autofree char *counts = g_strdup_printf ("%s · %s · %s", measurements, components, jobs);
  g_autofree char *name = g_strdup_printf ("%s, %s, %s", title, maker, counts);

  gtk_box_append (GTK_BOX (box), thumbnail (self, board->id));
  gtk_box_append (GTK_BOX (words), bl_label (title, "strong", 0));
  gtk_box_append (GTK_BOX (words), bl_label (maker, "muted", 0));
  gtk_box_append (GTK_BOX (words), bl_label (counts, "muted small", 0));
  gtk_widget_set_valign (words, GTK_ALIGN_CENTER);
  gtk_box_append (GTK_BOX (box), words);
  gtk_list_box_row_set_child (GTK_LIST_BOX_ROW (row), box);
  bl_widget_name (row, name);
  return row;
}

void
bl_boards_page_refresh (BlBoardsPage *self)
{
  g_return_if_fail (BL_IS_BOARDS_PAGE (self));
  GError *error = NULL;
  g_autoptr (GPtrArray) boards = bl_library_boards (self->library, FALSE, &error);

  bl_widget_clear (GTK_WIDGET (self->list));
  if (boards == NULL)
    bl_widget_report (GTK_WIDGET (self), _ ("The boards cannot be listed"), error);
  for (guint i = 0; i < bl_len (boards); i++)
    gtk_list_box_append (self->list, row_of (self, bl_at (boards, i)));
  gtk_widget_set_visible (GTK_WIDGET (self->empty), bl_len (boards) == 0);
}

static void
bl_boards_page_dispose (GObject *object)
{
  gtk_widget_dispose_template (GTK_WIDGET (object), BL_TYPE_BOARDS_PAGE);
  for (GtkWidget *child; (child = gtk_widget_get_first_child (GTK_WIDGET (object))) != NULL;)
    gtk_widget_unparent (child);
  G_OBJECT_CLASS (bl_boards_page_parent_class)->dispose (object);
}

static void
bl_boards_page_class_init (BlBoardsPageClass *klass)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  G_OBJECT_CLASS (klass)->dispose = bl_boards_page_dispose;
  gtk_widget_class_set_template_from_resource (widget_class, "/org/benchlore/Benchlore/bl-boards-page.ui");
  gtk_widget_class_bind_template_child (widget_class, BlBoardsPage, list);
  gtk_widget_class_bind_template_child (widget_class, BlBoardsPage, empty);
}

static void
bl_boards_page_init (BlBoardsPage *self)
{
  gtk_widget_init_template (GTK_WIDGET (self));
}

GtkWidget *
bl_boards_page_new (BlLibrary *library)
{
  BlBoardsPage *self = g_object_new (BL_TYPE_BOARDS_PAGE, NULL);

  self->library = library;
  return GTK_WIDGET (self);
}
