#include "app/document/session_words.h"

#include <QCoreApplication>
#include <QDateTime>
#include <QLocale>
#include <QTimeZone>
#include <algorithm>
#include <cmath>
#include <filesystem>

#include "core/trace/trace.h"
#include "widgets/format/number_text.h"
#include "widgets/plots/cursor_reading.h"

namespace beatwitness::app {
namespace {

using namespace widgets;

QString tr(const char* text) {
    return QCoreApplication::translate("SessionWords", text);
}

const analysis::TestAnalysis& testOf(const analysis::SessionAnalysis& session, int test) {
    return session.tests[static_cast<std::size_t>(test)];
}

QDateTime utc(Micros sinceEpoch) {
    return QDateTime::fromMSecsSinceEpoch(std::chrono::floor<std::chrono::milliseconds>(sinceEpoch).count(),
                                          Qt::UTC);
}

QString dateWords(Micros sinceEpoch) {
    return QLocale().toString(utc(sinceEpoch), QStringLiteral("ddd d MMM yyyy, HH:mm:ss"));
}

QString zoneWord(recording::ClockBasis basis) {
    return basis == recording::ClockBasis::Utc ? tr("UTC") : tr("(zone unknown)");
}

/// "reads 3.1 bpm low", "reads neither high nor low".
QString biasWords(BpmDelta bias) {
    if (std::abs(bias.value) < 0.05) return tr("reads neither high nor low on average");
    const QString size = spreadText(BpmDelta{std::abs(bias.value)}, 1);
    return (bias.value < 0 ? tr("reads %1 low on average") : tr("reads %1 high on average")).arg(size);
}

QString headline(const QString& test, const QString& reference, const agreement::AgreementBlock& block) {
    QString text = tr("The %1 %2").arg(test, biasWords(*block.bias));
    if (block.within5Bpm)
        text += tr(" and is within 5 bpm of the %1 in %2 of the %3 seconds in which both have a value")
                    .arg(reference, percentText(block.within5Bpm, 0), countText(block.pairs));
    return text + QLatin1Char('.');
}

QString limitsSentence(const agreement::AgreementBlock& block) {
    return tr("Its 95 % limits of agreement are %1 and %2; the mean absolute error is %3.")
        .arg(errorText(block.loaLower, 1), errorText(block.loaUpper, 1), spreadText(block.mae, 1));
}

QString alignmentSentence(const analysis::TestAnalysis& test) {
    if (test.alignment.refusedBecause)
        return tr("The clocks were not brought together, so a clock error may stand in these numbers.");
    if (!test.aligned) return tr("The clocks were left as recorded, as you asked.");
    if (!test.asRecorded.agreement.mae || !test.aligned->agreement.mae) return {};
    const QString before = spreadText(test.asRecorded.agreement.mae, 1);
    const QString after = spreadText(test.aligned->agreement.mae, 1);
    if (before == after)
        return tr("Bringing the clocks together leaves the mean absolute error at %1.").arg(after);
    return tr("Bringing the clocks together takes the mean absolute error from %1 to %2; a constant delay of "
              "the "
              "device goes with it.")
        .arg(before, after);
}

QString halfRateSentence(const agreement::AgreementBlock& block) {
    if (!block.halfRate || block.halfRate->value < 0.05) return {};
    return tr("In %1 of those seconds it shows about half the reference.")
        .arg(percentText(block.halfRate, 1));
}

QString dropoutSentence(const analysis::TestAnalysis& test, const QString& name) {
    double seconds = 0.0;
    int count = 0;
    for (const auto& flag : test.flags) {
        if (flag.kind != flags::FlagKind::Dropout || flag.on != flags::FlaggedTrace::Test) continue;
        ++count;
        seconds += flag.magnitude;
    }
    if (count == 0) return {};
    return count == 1 ? tr("The %1 gave nothing for %2 once.").arg(name, durationText(seconds))
                      : tr("The %1 gave nothing %2 times, %3 in all.")
                            .arg(name)
                            .arg(count)
                            .arg(durationText(seconds));
}

}  // namespace

QString fileName(const recording::RecordingFile& file) {
    return QString::fromStdString(std::filesystem::path(file.file).filename().string());
}

bool holdsTable(const recording::RecordingFile& file) {
    using recording::Format;
    return file.recording.format == Format::Csv || file.recording.format == Format::Rr;
}

QString titleOf(const analysis::SessionAnalysis& session, int test) {
    return tr("%1 against %2").arg(testName(session, test), referenceName(session));
}

QString clockState(const analysis::TestAnalysis& test, bool aligned) {
    if (aligned && test.aligned) return tr("aligned");
    return test.alignment.refusedBecause ? tr("not aligned") : tr("as recorded");
}

QString subtitleOf(const analysis::SessionAnalysis& session, int test, bool aligned) {
    QStringList parts;
    const auto basis = session.reference.recording.clock;
    if (basis == recording::ClockBasis::None)
        parts << tr("no date in the reference");
    else
        parts << dateWords(session.t0.time_since_epoch()) + QLatin1Char(' ') + zoneWord(basis);
    const auto& trace = session.referenceTrace.seconds;
    if (!trace.empty()) parts << durationText(trace.back() - trace.front());
    const auto& view = shownView(testOf(session, test), aligned);
    if (view.agreement.coverage) parts << tr("coverage %1").arg(percentText(view.agreement.coverage, 1));
    parts
        << tr("reference %1, test %2").arg(fileName(session.reference), fileName(testOf(session, test).file));
    if (session.excludedReferenceSeconds > 0)
        parts << tr("%1 of reference faults left out")
                     .arg(secondsText(static_cast<double>(session.excludedReferenceSeconds)));
    return parts.join(QStringLiteral(" · "));
}

QString storedSubtitle(const library::SessionRow& row, const analysis::SessionAnalysis& session, int test) {
    const auto qt = [](const std::string& text) { return QString::fromStdString(text); };
    QStringList parts{row.start ? wallClockText(session, 0.0) : tr("no date")};
    if (row.start) {
        const auto start = QDateTime::fromMSecsSinceEpoch(row.start->count() / 1000, Qt::UTC);
        const QTimeZone zone(QByteArray::fromStdString(row.zone));
        const bool named = !row.zone.empty() && zone.isValid();
        const auto local = named ? start.toTimeZone(zone) : start;
        parts = {QLocale().toString(local, QStringLiteral("ddd d MMM yyyy, HH:mm")) +
                 (named ? QString() : QStringLiteral(" UTC"))};
    }
    if (!row.wearer.empty()) parts << qt(row.wearer);
    if (row.reference()) parts << tr("%1 (reference)").arg(qt(row.reference()->deviceLabel));
    int index = 0;
    for (const auto& wearing : row.wearings) {
        if (wearing.role != library::Role::Test || wearing.recordings.empty() || index++ != test) continue;
        QString worn = qt(wearing.deviceLabel);
        const QString place =
            QString(qt(wearing.facts.side) + QLatin1Char(' ') + qt(wearing.facts.position)).trimmed();
        if (!place.isEmpty()) worn += tr(" at %1").arg(place);
        if (!wearing.facts.firmware.empty()) worn += tr(", firmware %1").arg(qt(wearing.facts.firmware));
        parts << worn;
    }
    return parts.join(QStringLiteral(" · "));
}

QStringList plainWords(const analysis::SessionAnalysis& session, int index, bool aligned) {
    const auto& test = testOf(session, index);
    const auto& block = shownView(test, aligned).agreement;
    const QString name = testName(session, index);
    QStringList words;
    if (block.pairs == 0) {
        words << tr(
            "There is no second in which both recordings have a value, so there is nothing to compare.");
    } else {
        words << headline(name, referenceName(session), block);
        if (block.loaLower && block.loaUpper) words << limitsSentence(block);
        words << halfRateSentence(block) << dropoutSentence(test, name);
    }
    words << alignmentSentence(test);
    words.removeAll(QString());
    return words;
}

QString recordingFacts(const recording::RecordingFile& file, const trace::RecordingSummary& summary) {
    const auto format = recording::formatName(file.recording.format);
    QStringList parts{QString::fromUtf8(format.data(), static_cast<qsizetype>(format.size())).toUpper()};
    parts << tr("%1 samples, %2 missing").arg(countText(summary.samples), countText(summary.missing));
    if (summary.medianInterval)
        parts << tr("every %1 s").arg(QLocale().toString(summary.medianInterval->value, 'g', 3));
    if (summary.duration) parts << durationText(summary.duration->value);
    return parts.join(QStringLiteral(" · "));
}

QString spanWords(const recording::RecordingFile& file, const trace::RecordingSummary& summary) {
    if (!summary.span) return tr("no valid heart rate");
    if (file.recording.clock == recording::ClockBasis::None) return tr("elapsed times only, no date");
    const QString end =
        QLocale().toString(utc(summary.span->end.time_since_epoch()), QStringLiteral("HH:mm:ss"));
    return tr("%1 to %2 %3")
        .arg(dateWords(summary.span->begin.time_since_epoch()), end, zoneWord(file.recording.clock));
}

}  // namespace beatwitness::app
