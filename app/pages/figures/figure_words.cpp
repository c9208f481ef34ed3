#include "app/pages/figures/figure_words.h"

#include <QCoreApplication>
#include <QDateTime>
#include <QTimeZone>
#include <algorithm>

namespace beatwitness::app {
namespace {

QString tr(const char* text) {
    return QCoreApplication::translate("FigureWords", text);
}

}  // namespace

std::vector<PresetSize> presetSizes() {
    std::vector<PresetSize> sizes{{QStringLiteral("1080p"), tr("1920 × 1080 px, video")},
                                  {QStringLiteral("4k"), tr("3840 × 2160 px, video")},
                                  {QStringLiteral("vertical"), tr("1080 × 1920 px, upright")}};
    for (const int width_mm : {85, 90, 120, 180})
        sizes.push_back({QStringLiteral("%1mm").arg(width_mm), tr("%1 mm wide, print").arg(width_mm)});
    return sizes;
}

QString lookWords(const library::FigureLook& look) {
    const auto sizes = presetSizes();
    const QString size = QString::fromStdString(look.size);
    const auto preset = std::ranges::find(sizes, size, &PresetSize::size);
    QString words = preset == sizes.end() ? size : preset->words.section(QLatin1Char(','), 0, 0);
    if (look.dark) words += tr(", dark");
    if (look.transparent) words += tr(", transparent");
    if (look.grey) words += tr(", grey");
    return words;
}

QString dayOf(Micros since1970) {
    return QDateTime::fromMSecsSinceEpoch(since1970.count() / 1000, QTimeZone::utc())
        .date()
        .toString(Qt::ISODate);
}

std::optional<double> sessionTimeOf(const QString& text) {
    double seconds = 0.0;
    const auto parts = text.trimmed().split(QLatin1Char(':'));
    if (parts.size() > 3) return std::nullopt;
    for (const auto& part : parts) {
        bool isNumber = false;
        const double value = QString(part).replace(QLatin1Char(','), QLatin1Char('.')).toDouble(&isNumber);
        if (!isNumber || value < 0 || (parts.size() > 1 && value >= 60 && &part != &parts.front()))
            return std::nullopt;
        seconds = seconds * 60.0 + value;
    }
    return seconds <= 14.0 * 86'400.0 ? std::optional{seconds} : std::nullopt;
}

}  // namespace beatwitness::app
