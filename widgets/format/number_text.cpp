#include "widgets/format/number_text.h"

#include <QCoreApplication>
#include <QDateTime>
#include <QFileInfo>
#include <cmath>

#include "widgets/format/short_names.h"

namespace beatwitness::widgets {
namespace {

/// Everything here belongs to no QObject.
QString tr(const char* text, const char* comment = nullptr) {
    return QCoreApplication::translate("NumberText", text, comment);
}

/// Rounded first, so that −0.04 does not become "−0.0".
double rounded(double value, int decimals) {
    const double scale = std::pow(10.0, decimals);
    const double result = std::round(value * scale) / scale;
    return result == 0.0 ? 0.0 : result;
}

QString withUnit(const QString& number, const QString& unit) {
    return number + QChar::Nbsp + unit;
}

template <class Quantity>
std::optional<double> valueOf(const std::optional<Quantity>& quantity) {
    return quantity ? std::optional{quantity->value} : std::nullopt;
}

QString twoDigits(qint64 number) {
    return QStringLiteral("%1").arg(number, 2, 10, QLatin1Char('0'));
}

QString withInterval(const QString& estimate, const std::optional<alignment::Interval>& interval,
                     int decimals) {
    if (!interval) return estimate;
    return tr("%1 (%2 to %3)", "estimate and its 95 % interval")
        .arg(estimate, numberText(interval->lower, decimals), numberText(interval->upper, decimals));
}

/// The names of reference and tests, in this order.
QStringList namesOf(const analysis::SessionAnalysis& session) {
    QStringList stems, names;
    const auto take = [&](const recording::RecordingFile& file) {
        stems << QFileInfo(QString::fromStdString(file.file)).completeBaseName();
        names << QString::fromStdString(file.recording.device).simplified();
    };
    take(session.reference);
    for (const auto& test : session.tests)
        take(test.file);
    const QStringList shortened = shortNames(stems);
    for (qsizetype i = 0; i < names.size(); ++i)
        if (names[i].isEmpty()) names[i] = shortened[i];
    return numberedWhereAlike(names);
}

}  // namespace

QString absentText() {
    return QStringLiteral("\u2014");
}

QString numberText(std::optional<double> value, int decimals) {
    if (!value || !std::isfinite(*value)) return absentText();
    const double shown = rounded(*value, decimals);
    const QString digits = QLocale().toString(std::abs(shown), 'f', decimals);
    return shown < 0 ? minusSign + digits : digits;
}

QString signedText(std::optional<double> value, int decimals) {
    const QString text = numberText(value, decimals);
    return value && rounded(*value, decimals) > 0 ? QLatin1Char('+') + text : text;
}

QString bpmText(std::optional<Bpm> rate, int decimals) {
    return rate ? withUnit(numberText(rate->value, decimals), tr("bpm")) : absentText();
}

QString errorText(std::optional<BpmDelta> error, int decimals) {
    return error ? withUnit(signedText(error->value, decimals), tr("bpm")) : absentText();
}

QString spreadText(std::optional<BpmDelta> spread, int decimals) {
    return spread ? withUnit(numberText(spread->value, decimals), tr("bpm")) : absentText();
}

QString percentText(std::optional<Percent> share, int decimals) {
    return share ? withUnit(numberText(share->value, decimals), QStringLiteral("%")) : absentText();
}

QString coefficientText(std::optional<double> value) {
    return numberText(value, 3);
}

QString countText(std::size_t count) {
    return QLocale().toString(static_cast<qulonglong>(count));
}

QString secondsText(double seconds, int decimals) {
    return withUnit(numberText(seconds, decimals), tr("s"));
}

QString sessionTimeText(double seconds) {
    if (!std::isfinite(seconds)) return absentText();
    const qint64 whole = std::llround(std::abs(seconds));
    QString text = twoDigits(whole / 60 % 60) + QLatin1Char(':') + twoDigits(whole % 60);
    if (whole >= 3600) text = QString::number(whole / 3600) + QLatin1Char(':') + text;
    return seconds < 0 && whole > 0 ? minusSign + text : text;
}

QString durationText(double seconds) {
    const qint64 whole = std::llround(std::max(0.0, seconds));
    if (whole < 120) return withUnit(QString::number(whole), tr("s"));
    const qint64 minutes = (whole + 30) / 60;
    if (minutes < 60) return withUnit(QString::number(minutes), tr("min"));
    return withUnit(QString::number(minutes / 60), tr("h")) + QLatin1Char(' ') +
           withUnit(twoDigits(minutes % 60), tr("min"));
}

QString wallClockText(const analysis::SessionAnalysis& session, double seconds) {
    const auto basis = session.reference.recording.clock;
    if (basis == recording::ClockBasis::None) return absentText();
    const auto instant = session.t0.time_since_epoch() + toMicros({seconds});
    const auto time = QDateTime::fromMSecsSinceEpoch(std::llround(instant.count() / 1000.0), Qt::UTC);
    const QString clock = time.toString(QStringLiteral("HH:mm:ss"));
    return basis == recording::ClockBasis::Utc ? tr("%1 UTC").arg(clock) : tr("%1 (zone unknown)").arg(clock);
}

QString offsetText(const alignment::Alignment& alignment) {
    if (!alignment.applied()) return absentText();
    return withInterval(withUnit(signedText(alignment.correction->offset.value, 1), tr("s")),
                        alignment.offsetInterval_s, 1);
}

QString driftText(const alignment::Alignment& alignment) {
    if (!alignment.applied()) return absentText();
    return withInterval(withUnit(signedText(alignment.correction->drift.value, 1), tr("ppm")),
                        alignment.driftInterval_ppm, 0);
}

QString testName(const analysis::SessionAnalysis& session, int test) {
    return namesOf(session)[test + 1];
}

QString referenceName(const analysis::SessionAnalysis& session) {
    return namesOf(session).front();
}

QString flagName(flags::FlagKind kind) {
    switch (kind) {
        case flags::FlagKind::Dropout:
            return tr("dropout");
        case flags::FlagKind::Spike:
            return tr("spike");
        case flags::FlagKind::HalfRate:
            return tr("half rate");
        case flags::FlagKind::DoubleRate:
            return tr("double rate");
        case flags::FlagKind::CadenceLock:
            return tr("cadence lock");
        case flags::FlagKind::Stuck:
            return tr("stuck");
        case flags::FlagKind::MissedRise:
            return tr("missed rise");
        case flags::FlagKind::Lag:
            return tr("lag");
        case flags::FlagKind::Damped:
            return tr("damped");
        case flags::FlagKind::Adrift:
            return tr("adrift");
    }
    return {};
}

}  // namespace beatwitness::widgets
