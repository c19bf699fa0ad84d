/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What stands in the window where the library could not be opened: why, and what to do. It mends nothing itself. */
#include "config.h"

#include "bl-trouble-page.h"

#include <glib/gi18n-lib.h>

#include "bl-store-error.h"
#include "bl-style.h"

static const char *
advice_on (const GError *trouble)
{
  if (g_error_matches (trouble, BL_STORE_ERROR, BL_STORE_ERROR_NEWER))
    return _ ("It was made by a newer Benchlore. Install that version, or open another library with "
              "“benchlore --library FILE”. Nothing was changed.");
  if (g_error_matches (trouble, BL_STORE_ERROR, BL_STORE_ERROR_CORRUPT))
    return _ ("Do not write to it any more. Copy it away, then put back the newest copy: older copies lie beside "
              "it after each update of the program.");
  if (g_error_matches (trouble, BL_STORE_ERROR, BL_STORE_ERROR_BUSY))
    return _ ("Another program is writing to it. Close that program, then start Benchlore again.");
  if (g_error_matches (trouble, BL_STORE_ERROR, BL_STORE_ERROR_FULL))
    return _ ("There is no room left on the disk. Make room, then start Benchlore again.");
  return _ ("Nothing was changed. See whether this is the file you mean and whether it may be read, or open "
            "another library with “benchlore --library FILE”.");
}

static GtkWidget *
add_paragraph (GtkWidget *box, const char *words, const char *css)
{
  GtkWidget *label = bl_label (words, css, 0);

  gtk_label_set_wrap (GTK_LABEL (label), TRUE);
  gtk_label_set_max_width_chars (GTK_LABEL (label), 70);
  gtk_box_append (GTK_BOX (box), label);
  return label;
}

GtkWidget *
bl_trouble_page_new (const GError *trouble)
{
  g_return_val_if_fail (trouble != NULL, NULL);
  GtkWidget *box = gtk_box_new (GTK_ORIENTATION_VERTICAL, 12);

  gtk_widget_set_valign (box, GTK_ALIGN_CENTER);
  gtk_widget_set_halign (box, GTK_ALIGN_CENTER);
  gtk_box_append (GTK_BOX (box), bl_label (_ ("The library cannot be opened"), "page-title", 0));
  GtkWidget *why = add_paragraph (box, trouble->message, "trouble");
  gtk_label_set_selectable (GTK_LABEL (why), TRUE); /* to be copied into a letter */
  add_paragraph (box, advice_on (trouble), NULL);
  return box;
}
