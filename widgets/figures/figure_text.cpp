#include "widgets/figures/figure_text.h"

namespace beatwitness::widgets {

QFont figureFont(TextSize size, bool strong) {
    QFont font(QStringLiteral("Liberation Sans"));
    font.setStyleHint(QFont::SansSerif);
    font.setPixelSize(
        static_cast<int>(size));  // a figure's unit is the point, whatever the device calls a pixel
    font.setBold(strong);
    font.setHintingPreference(QFont::PreferNoHinting);  // so that text scales with the rest
    return font;
}

QStringList wrapped(const QString& text, const QFont& font, double width, int most) {
    const QFontMetricsF metrics(font);
    QStringList lines;
    QString line;
    const QStringList words = text.split(QLatin1Char(' '), Qt::SkipEmptyParts);
    for (qsizetype i = 0; i < words.size(); ++i) {
        const QString longer = line.isEmpty() ? words[i] : line + QLatin1Char(' ') + words[i];
        if (metrics.horizontalAdvance(longer) <= width || line.isEmpty()) {
            line = longer;
            continue;
        }
        if (lines.size() + 1 == most) {
            line += QLatin1Char(' ') + QStringList(words.mid(i)).join(QLatin1Char(' '));
            break;
        }
        lines << line;
        line = words[i];
    }
    if (!line.isEmpty()) lines << metrics.elidedText(line, Qt::ElideRight, width);
    return lines;
}

double lineHeight(const QFont& font) {
    return QFontMetricsF(font).height();
}

}  // namespace beatwitness::widgets
