/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How a meter is read live, chosen once.
 *
 * The list of drivers and the search come from another process and take seconds; rows stay usable meanwhile
 * and say what is going on. A meter that was found and is not among the shop's yet is added with the name it
 * gives itself, without ranges: those are filled in with the shop's meters. */
#include "config.h"

#include "bl-live-setup.h"

#include <glib/gi18n-lib.h>

#include "bl-live-meter.h"
#include "bl-meter-link.h"
#include "bl-preferences.h"
#include "bl-style.h"

typedef struct
{
  BlLibrary *library;
  GPtrArray *meters;  /* BlShopMeter */
  GPtrArray *drivers; /* BlMeterDriver; NULL: not known yet */
  GtkDropDown *meter, *driver;
  GtkWidget *connection, *search, *found, *note;
  gboolean filling;
  GCancellable *cancellable;
} Setup;

static void
setup_free (gpointer data)
{
  Setup *self = data;

  g_cancellable_cancel (self->cancellable);
  g_object_unref (self->cancellable);
  g_clear_pointer (&self->meters, g_ptr_array_unref);
  g_clear_pointer (&self->drivers, g_ptr_array_unref);
  g_free (self);
}

static void
say (Setup *self, const char *words)
{
  gtk_label_set_label (GTK_LABEL (self->note), words);
  gtk_widget_set_visible (self->note, *words != '\0');
}

/* The meter chosen; NULL: the shop has none yet. */
static BlShopMeter *
chosen (Setup *self)
{
  guint at = gtk_drop_down_get_selected (self->meter);
  return at < bl_len (self->meters) ? bl_at (self->meters, at) : NULL;
}

static const char *
chosen_driver (Setup *self)
{
  guint at = gtk_drop_down_get_selected (self->driver);
  return at > 0 && at <= bl_len (self->drivers) ? ((BlMeterDriver *) bl_at (self->drivers, at - 1))->name : NULL;
}

/* --- what is shown --- */

static void
show_meter (Setup *self)
{
  BlShopMeter *meter = chosen (self);
  guint at = 0;

  self->filling = TRUE;
  for (guint i = 0; meter != NULL && meter->driver != NULL && i < bl_len (self->drivers); i++)
    if (g_str_equal (((BlMeterDriver *) bl_at (self->drivers, i))->name, meter->driver))
      at = i + 1;
  gtk_drop_down_set_selected (self->driver, at);
  gtk_editable_set_text (GTK_EDITABLE (self->connection),
                         meter != NULL && meter->connection != NULL ? meter->connection : "");
  self->filling = FALSE;
}

static void
fill_meters (Setup *self, gint64 select)
{
  g_autoptr (GtkStringList) names = gtk_string_list_new (NULL);
  g_autoptr (GError) error = NULL;
  guint at = 0;

  g_clear_pointer (&self->meters, g_ptr_array_unref);
  self->meters = bl_library_meters (self->library, &error);
  for (guint i = 0; i < bl_len (self->meters); i++)
    {
      const BlShopMeter *meter = bl_at (self->meters, i);
      gtk_string_list_append (names, meter->name);
      if (meter->id == select)
        at = i;
    }
  if (bl_len (self->meters) == 0)
    gtk_string_list_append (names, _ ("none yet: search, and press what was found"));
  self->filling = TRUE;
  gtk_drop_down_set_model (self->meter, G_LIST_MODEL (names));
  gtk_drop_down_set_selected (self->meter, at);
  self->filling = FALSE;
  if (error != NULL)
    say (self, error->message);
  show_meter (self);
}

static void
drivers_came (GObject *source, GAsyncResult *result, gpointer data)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (GPtrArray) drivers = bl_meter_link_drivers_finish (result, &error);
  g_autoptr (GtkStringList) titles = gtk_string_list_new (NULL);
  Setup *self = data;

  if (g_error_matches (error, G_IO_ERROR, G_IO_ERROR_CANCELLED))
    return;
  if (drivers == NULL)
    {
      say (self, error != NULL ? error->message : "");
      return;
    }
  gtk_string_list_append (titles, _ ("not read live"));
  for (guint i = 0; i < drivers->len; i++)
    gtk_string_list_append (titles, ((BlMeterDriver *) bl_at (drivers, i))->title);
  self->drivers = g_steal_pointer (&drivers);
  self->filling = TRUE;
  gtk_drop_down_set_model (self->driver, G_LIST_MODEL (titles));
  self->filling = FALSE;
  gtk_widget_set_sensitive (GTK_WIDGET (self->driver), TRUE);
  show_meter (self);
}

/* --- what is changed --- */

static void
set_link (Setup *self, BlShopMeter *meter)
{
  const char *driver = chosen_driver (self), *connection = gtk_editable_get_text (GTK_EDITABLE (self->connection));

  g_free (meter->driver);
  g_free (meter->connection);
  meter->driver = g_strdup (driver);
  meter->connection = driver != NULL && *connection != '\0' ? g_strdup (connection) : NULL;
}

/* Keeps how it is read with the meter, and of the meter nothing else: its ranges may have been changed meanwhile.
 * FALSE, and said why, when it was not. */
static gboolean
keep (Setup *self, BlShopMeter *meter)
{
  g_autoptr (GError) error = NULL;
  gint64 before = meter->id;
  g_autoptr (BlShopMeter) now = before != 0 ? bl_library_load_meter (self->library, before, NULL, &error)
                                            : bl_shop_meter_copy (meter);

  if (now != NULL)
    set_link (self, now);
  if (now == NULL || !bl_library_put_meter (self->library, now, &error))
    {
      say (self, error->message);
      return FALSE;
    }
  set_link (self, meter);
  if (before == 0)
    fill_meters (self, now->id);
  return TRUE;
}

static void
changed (Setup *self)
{
  BlShopMeter *meter = chosen (self);

  if (self->filling || self->drivers == NULL)
    return;
  if (meter != NULL)
    keep (self, meter);
  else
    say (self, chosen_driver (self) != NULL
                 ? _ ("Not kept yet, for the shop has no meter: Search, then press the one that answers.")
                 : "");
}

/* Meters may have been made or changed where the shop's are. */
static void
shown (Setup *self)
{
  const BlShopMeter *meter = chosen (self);

  fill_meters (self, meter != NULL ? meter->id : 0);
}

static void
meter_selected (Setup *self)
{
  if (!self->filling)
    show_meter (self);
}

/* --- the search --- */

static void
found_pressed (GtkButton *button, Setup *self)
{
  const char *name = gtk_button_get_label (button);
  g_autoptr (BlShopMeter) added = chosen (self) == NULL ? bl_shop_meter_new (name) : NULL;
  g_autofree char *words = g_strdup_printf (_ ("%s is read live from now on: F12 on the bench connects it."), name);

  if (keep (self, added != NULL ? added : chosen (self)))
    say (self, words);
}

static void
found_came (GObject *source, GAsyncResult *result, gpointer data)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (GPtrArray) names = bl_meter_link_scan_finish (result, &error);
  Setup *self = data;

  if (g_error_matches (error, G_IO_ERROR, G_IO_ERROR_CANCELLED))
    return;
  gtk_widget_set_sensitive (self->search, TRUE);
  if (names == NULL || names->len == 0)
    {
      say (self, error != NULL ? error->message : _ ("Nothing was found there. Is the meter on, and its data link?"));
      return;
    }
  say (self, chosen (self) != NULL ? _ ("Found; press one and it is the meter chosen above:")
                                   : _ ("Found; press one and it is kept among the shop's meters:"));
  for (guint i = 0; i < names->len; i++)
    {
      GtkWidget *button = gtk_button_new_with_label (g_ptr_array_index (names, i));
      gtk_widget_add_css_class (button, "plain");
      gtk_widget_set_halign (button, GTK_ALIGN_START);
      g_signal_connect (button, "clicked", G_CALLBACK (found_pressed), self);
      gtk_box_append (GTK_BOX (self->found), button);
    }
}

static void
search_pressed (Setup *self)
{
  const char *driver = chosen_driver (self);
  g_autofree char *connection = NULL, *serialcomm = NULL;

  bl_widget_clear (self->found);
  if (driver == NULL)
    {
      say (self, _ ("Choose the driver first."));
      return;
    }
  bl_live_connection (gtk_editable_get_text (GTK_EDITABLE (self->connection)), &connection, &serialcomm);
  gtk_widget_set_sensitive (self->search, FALSE);
  say (self, _ ("Looking …"));
  bl_meter_link_scan_async (driver, connection, serialcomm, self->cancellable, found_came, self);
}

/* --- rows --- */

static GtkWidget *
connection_row (Setup *self)
{
  GtkWidget *row = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 8);

  self->connection = gtk_entry_new ();
  gtk_widget_set_hexpand (self->connection, TRUE);
  gtk_entry_set_placeholder_text (GTK_ENTRY (self->connection), _ ("empty: USB"));
  bl_widget_name (self->connection, _ ("Connection"));
  self->search = gtk_button_new_with_mnemonic (_ ("_Search"));
  gtk_widget_add_css_class (self->search, "plain");
  gtk_box_append (GTK_BOX (row), self->connection);
  gtk_box_append (GTK_BOX (row), self->search);
  g_signal_connect_swapped (self->connection, "changed", G_CALLBACK (changed), self);
  g_signal_connect_swapped (self->search, "clicked", G_CALLBACK (search_pressed), self);
  return row;
}

void
bl_live_setup_add (GtkWidget *group, BlLibrary *library)
{
  g_return_if_fail (GTK_IS_WIDGET (group) && library != NULL);
  Setup *self = g_new0 (Setup, 1);
  g_autoptr (BlShopMeter) live = bl_live_meter (library);
  const char *const wait[] = { _ ("reading the list …"), NULL };
  GtkExpression *title = gtk_property_expression_new (GTK_TYPE_STRING_OBJECT, NULL, "string");
  GtkWidget *row, *result;

  self->library = library;
  self->cancellable = g_cancellable_new ();
  self->meter = GTK_DROP_DOWN (gtk_drop_down_new (NULL, NULL));
  self->driver = GTK_DROP_DOWN (gtk_drop_down_new_from_strings (wait));
  gtk_drop_down_set_enable_search (self->driver, TRUE);
  gtk_drop_down_set_expression (self->driver, title);
  gtk_expression_unref (title);
  gtk_widget_set_sensitive (GTK_WIDGET (self->driver), FALSE);
  row = connection_row (self);
  self->note = bl_label ("", "muted small", 0);
  gtk_label_set_wrap (GTK_LABEL (self->note), TRUE);
  gtk_label_set_max_width_chars (GTK_LABEL (self->note), 60);
  self->found = gtk_box_new (GTK_ORIENTATION_VERTICAL, 4);
  bl_preferences_group_add (group, _ ("_Meter read live"), GTK_WIDGET (self->meter), NULL);
  bl_preferences_group_add (group, _ ("_Driver"), GTK_WIDGET (self->driver), NULL);
  bl_preferences_group_add (group, _ ("_Connection"), row,
                            _ ("A serial port or an address, its settings behind it: /dev/ttyUSB0 9600/8n1, "
                               "tcp-raw/192.168.0.9/5025. F12 on the bench connects and disconnects."));
  result = gtk_box_new (GTK_ORIENTATION_VERTICAL, 4);
  gtk_box_append (GTK_BOX (result), self->note);
  gtk_box_append (GTK_BOX (result), self->found);
  gtk_widget_set_visible (self->note, FALSE);
  bl_preferences_group_add_wide (group, result);
  g_signal_connect_swapped (self->meter, "notify::selected", G_CALLBACK (meter_selected), self);
  g_signal_connect_swapped (self->driver, "notify::selected", G_CALLBACK (changed), self);
  g_object_set_data_full (G_OBJECT (group), "live-setup", self, setup_free);
  g_signal_connect_swapped (group, "map", G_CALLBACK (shown), self);
  fill_meters (self, live != NULL ? live->id : 0);
  bl_meter_link_drivers_async (self->cancellable, drivers_came, self);
}
