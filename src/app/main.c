/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Starts the desktop program. */
#include "config.h"

#include <glib/gi18n-lib.h>
#include <locale.h>
#include <malloc.h>

#include "bl-application.h"

int
main (int argc, char **argv)
{
  /* Each frame's buffer is some megabytes. Without this the C library returns it to the system and
   * maps it anew every frame, which costs more than the drawing. */
  mallopt (M_MMAP_THRESHOLD, 32 * 1024 * 1024);
  mallopt (M_TRIM_THRESHOLD, 512 * 1024 * 1024);
  mallopt (M_TOP_PAD, 64 * 1024 * 1024);

  setlocale (LC_ALL, "");
  bindtextdomain (GETTEXT_PACKAGE, BL_LOCALE_DIR);
  bind_textdomain_codeset (GETTEXT_PACKAGE, "UTF-8");
  textdomain (GETTEXT_PACKAGE);

  g_autoptr (BlApplication) application = bl_application_new ();
  return g_application_run (G_APPLICATION (application), argc, argv);
}
