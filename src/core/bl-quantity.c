/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "bl-quantity.h"

G_DEFINE_QUARK (bl-core-error-quark, bl_core_error)
