#pragma once

#include <QIcon>

namespace beatwitness::widgets {

/// The icon resources/icons/`name`.svg in the ink of the theme in force, at any size; follows theme changes
/// by itself.
[[nodiscard]] QIcon inkIcon(const QString& name);

/// The application's own icon, in its own colours.
[[nodiscard]] QIcon applicationIcon();

}  // namespace beatwitness::widgets
