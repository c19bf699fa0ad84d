/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <adwaita.h>

#include "bl-library.h"

G_BEGIN_DECLS

/* The program: one library, one window. Options: --library FILE, --demo, and files to import. */
#define BL_TYPE_APPLICATION (bl_application_get_type ())
G_DECLARE_FINAL_TYPE (BlApplication, bl_application, BL, APPLICATION, AdwApplication)

BlApplication *bl_application_new (void);

G_END_DECLS
