/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <glib.h>

G_BEGIN_DECLS

/* Errors of the store layer. The message names the file, what was being done and the reason. */
#define BL_STORE_ERROR (bl_store_error_quark ())
GQuark bl_store_error_quark (void);
typedef enum
{
  BL_STORE_ERROR_OPEN,  /* no such file, no right to read it, not a library */
  BL_STORE_ERROR_NEWER, /* made by a newer program */
  BL_STORE_ERROR_READ_ONLY,
  BL_STORE_ERROR_FULL, /* no room left on the disk */
  BL_STORE_ERROR_BUSY, /* another program is writing */
  BL_STORE_ERROR_CORRUPT,
  BL_STORE_ERROR_NOT_FOUND,
  BL_STORE_ERROR_INVALID, /* refused by the rules of the library or of a bundle */
  BL_STORE_ERROR_OUTDATED, /* made for what is not there any more */
  BL_STORE_ERROR_FAILED
} BlStoreError;

G_END_DECLS
