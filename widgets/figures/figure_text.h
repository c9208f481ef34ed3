#pragma once

#include <QFont>
#include <QFontMetricsF>
#include <QPainter>
#include <QString>
#include <QStringList>

/// Text of figures: one concrete family, so that the same definition gives the same picture, in whole points.
namespace beatwitness::widgets {

enum class TextSize { Small = 7, Plain = 8, Title = 10, Verdict = 14, Statement = 30 };

[[nodiscard]] QFont figureFont(TextSize size, bool strong = false);

/// Words of `text` in lines no wider than `width`; a word that is wider stands alone, elided. At most `most`
/// lines, the last one elided.
[[nodiscard]] QStringList wrapped(const QString& text, const QFont& font, double width, int most);

[[nodiscard]] double lineHeight(const QFont& font);

}  // namespace beatwitness::widgets
