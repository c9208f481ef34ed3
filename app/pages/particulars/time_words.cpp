#include "app/pages/particulars/time_words.h"

#include <QCoreApplication>
#include <QDateTime>
#include <QTimeZone>

namespace beatwitness::app {
namespace {

/// A part whose other edge was not said reaches this far: beyond any session.
constexpr Micros openEnd = std::chrono::hours{24 * 366};

QTimeZone zoneOf(const std::string& zone) {
    const QTimeZone named(QByteArray::fromStdString(zone));
    return !zone.empty() && named.isValid() ? named : QTimeZone::utc();
}

QString words(const char* text) {
    return QCoreApplication::translate("ParticularsPanel", text);
}

}  // namespace

QString instantWords(RecordingTime time, const std::string& zone) {
    const auto at = QDateTime::fromMSecsSinceEpoch(time.time_since_epoch().count() / 1000, Qt::UTC);
    return at.toTimeZone(zoneOf(zone)).toString(QStringLiteral("yyyy-MM-dd HH:mm:ss"));
}

std::optional<RecordingTime> parseInstant(const QString& text, const std::string& zone,
                                          std::optional<Micros> start) {
    const QTimeZone in = zoneOf(zone);
    QDate day;
    QString clock = text.trimmed();
    if (const auto parts = clock.split(QLatin1Char(' '), Qt::SkipEmptyParts); parts.size() == 2) {
        day = QDate::fromString(parts[0], Qt::ISODate);
        clock = parts[1];
    } else if (start) {
        day = QDateTime::fromMSecsSinceEpoch(start->count() / 1000, Qt::UTC).toTimeZone(in).date();
    }
    auto time = QTime::fromString(clock, QStringLiteral("H:mm:ss"));
    if (!time.isValid()) time = QTime::fromString(clock, QStringLiteral("H:mm"));
    const QDateTime at(day, time, in);
    if (!day.isValid() || !time.isValid() || !at.isValid()) return std::nullopt;
    return RecordingTime{Micros{at.toMSecsSinceEpoch() * 1000}};
}

std::optional<QString> takeCounted(library::SessionParticulars& is, const QString& typed, Edge edge,
                                   std::optional<Micros> start) {
    if (!start)
        return words("The reference’s file knows no date, so no part of it can be named by the clock.");
    if (typed.isEmpty()) {
        is.counted.reset();
        return std::nullopt;
    }
    const auto at = parseInstant(typed, is.zone, start);
    if (!at) return words("A time was expected, such as 09:05:30 or 2031-03-02 09:05:30.");
    auto span =
        is.counted.value_or(library::CountedSpan{RecordingTime{*start}, RecordingTime{*start + openEnd}});
    (edge == Edge::Begin ? span.begin : span.end) = *at;
    if (span.end <= span.begin) return words("The part that counts must end after it begins.");
    is.counted = span;
    return std::nullopt;
}

QStringList zoneNames() {
    QStringList names;
    for (const auto& id : QTimeZone::availableTimeZoneIds())
        names << QString::fromUtf8(id);
    return names;
}

}  // namespace beatwitness::app
