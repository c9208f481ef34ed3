#include "widgets/theme/theme.h"

#include <QStyleFactory>
#include <QVariant>

namespace beatwitness::widgets {
namespace {

bool isDark(const QPalette& palette) {
    return palette.color(QPalette::Window).lightnessF() < palette.color(QPalette::WindowText).lightnessF();
}

/// The lightness the application started with, kept on the application itself: once a theme was applied, its
/// palette no longer tells.
bool startedDark(QApplication& app) {
    constexpr auto key = "beatwitness_started_dark";
    if (!app.property(key).isValid()) app.setProperty(key, isDark(app.palette()));
    return app.property(key).toBool();
}

QString styleSheetOf(const Palette& p) {
    return QStringLiteral(
               "QToolTip { background: %1; color: %2; border: none; padding: 4px 6px; }"
               "QMenuBar { background: %3; border-bottom: 1px solid %4; }"
               "QStatusBar { background: %3; border-top: 1px solid %4; }"
               "QStatusBar::item { border: none; }")
        .arg(p.badge.name(), p.onBadge.name(), p.surface.name(), p.hairline.name());
}

QFont applicationFont(double scale, QFont::Weight weight) {
    QFont font = QApplication::font();
    if (font.pointSizeF() > 0)
        font.setPointSizeF(font.pointSizeF() * scale);
    else
        font.setPixelSize(std::max(1, qRound(font.pixelSize() * scale)));
    font.setWeight(weight);
    return font;
}

}  // namespace

void applyTheme(QApplication& app, ThemeChoice choice) {
    const bool dark = choice == ThemeChoice::Dark || (choice == ThemeChoice::System && startedDark(app));
    startedDark(app);  // remembered before the first palette of ours hides it
    const Palette& palette = dark ? darkPalette() : lightPalette();
    if (auto* fusion = QStyleFactory::create(QStringLiteral("Fusion"))) app.setStyle(fusion);
    app.setPalette(toQPalette(palette));
    app.setStyleSheet(styleSheetOf(palette));
}

const Palette& currentPalette() {
    return isDark(QApplication::palette()) ? darkPalette() : lightPalette();
}

QFont smallFont() {
    return applicationFont(0.9, QFont::Normal);
}
QFont strongFont() {
    return applicationFont(1.0, QFont::DemiBold);
}
QFont headingFont() {
    return applicationFont(1.25, QFont::DemiBold);
}
QFont readoutFont() {
    return applicationFont(1.3, QFont::DemiBold);
}

}  // namespace beatwitness::widgets
