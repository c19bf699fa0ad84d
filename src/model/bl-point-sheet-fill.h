/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-library.h"
#include "bl-point-sheet.h"

G_BEGIN_DECLS

/* The test-point sheet of an edition in the library, words by the locale. BL_STORE_ERROR_INVALID when none of
 * its photos has a test point. (transfer full) */
BlPointSheet *bl_point_sheet_fill (BlLibrary *library, gint64 board, GError **error);

G_END_DECLS
