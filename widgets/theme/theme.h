#pragma once

#include <QApplication>
#include <QFont>

#include "widgets/theme/palette.h"

namespace beatwitness::widgets {

enum class ThemeChoice { System, Light, Dark };

/// Fusion, our palette and a small style sheet. System takes the lightness of the palette that the
/// application started with. Every widget gets QEvent::PaletteChange; views restyle on it.
void applyTheme(QApplication& app, ThemeChoice choice);

/// The palette whose lightness the application's QPalette has now.
[[nodiscard]] const Palette& currentPalette();

/// Fonts of the application, sized from its own: captions and tick labels; headings; big readouts. Figures
/// are tabular in the interface fonts of Debian as they come (Qt 6.4 cannot ask for them).
[[nodiscard]] QFont smallFont();
[[nodiscard]] QFont strongFont();
[[nodiscard]] QFont headingFont();
[[nodiscard]] QFont readoutFont();

}  // namespace beatwitness::widgets
