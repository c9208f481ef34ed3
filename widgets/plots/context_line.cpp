#include "widgets/plots/context_line.h"

#include <QCoreApplication>
#include <QFileInfo>
#include <algorithm>
#include <cmath>

#include "widgets/format/number_text.h"

namespace beatwitness::widgets {
namespace {

using analysis::ContextTrace;
using recording::ChannelKind;

QString tr(const char* text) {
    return QCoreApplication::translate("ContextLine", text);
}

double shownPerStored(ChannelKind kind) {
    return kind == ChannelKind::Speed ? 3.6 : 1.0;
}

QString sourceName(const analysis::SessionAnalysis& session, const std::string& file) {
    if (session.reference.file == file) return referenceName(session);
    for (std::size_t i = 0; i < session.tests.size(); ++i)
        if (session.tests[i].file.file == file) return testName(session, static_cast<int>(i));
    for (const auto& context : session.contexts)
        if (context.file.file == file && !context.file.recording.device.empty())
            return QString::fromStdString(context.file.recording.device).simplified();
    return QFileInfo(QString::fromStdString(file)).completeBaseName();
}

}  // namespace

QString contextKindName(ChannelKind kind) {
    switch (kind) {
        case ChannelKind::Cadence:
            return tr("cadence");
        case ChannelKind::Power:
            return tr("power");
        case ChannelKind::Speed:
            return tr("speed");
        case ChannelKind::Altitude:
            return tr("altitude");
        default:
            return QString::fromUtf8(recording::channelName(kind).data());
    }
}

QString contextUnit(ChannelKind kind) {
    switch (kind) {
        case ChannelKind::Cadence:
            return tr("1/min");
        case ChannelKind::Power:
            return tr("W");
        case ChannelKind::Speed:
            return tr("km/h");
        case ChannelKind::Altitude:
            return tr("m");
        default:
            return {};
    }
}

QString contextName(const analysis::SessionAnalysis& session, const ContextTrace& trace) {
    return tr("%1, %2").arg(contextKindName(trace.kind), sourceName(session, trace.file));
}

std::optional<double> contextValueAt(const ContextTrace& trace, double seconds) {
    const double scale = shownPerStored(trace.kind);
    const auto after = std::ranges::lower_bound(trace.seconds, seconds - trace::instantTolerance_s);
    if (after == trace.seconds.end()) return std::nullopt;
    const auto i = static_cast<std::size_t>(after - trace.seconds.begin());
    if (std::abs(trace.seconds[i] - seconds) <= trace::instantTolerance_s) return trace.values[i] * scale;
    if (i == 0 || !trace.joined[i]) return std::nullopt;
    const double share = (seconds - trace.seconds[i - 1]) / (trace.seconds[i] - trace.seconds[i - 1]);
    return std::lerp(trace.values[i - 1], trace.values[i], share) * scale;
}

QString contextText(ChannelKind kind, std::optional<double> shown) {
    if (!shown) return absentText();
    const QString unit = kind == ChannelKind::Cadence ? tr("/min") : contextUnit(kind);
    return numberText(shown, kind == ChannelKind::Speed ? 1 : 0) + QChar::Nbsp + unit;
}

DrawnLine contextLineOf(std::shared_ptr<const ContextTrace> trace) {
    DrawnLine line;
    const double scale = shownPerStored(trace->kind);
    line.seconds = trace->seconds;
    line.joined = trace->joined;
    line.values.reserve(trace->values.size());
    for (const double value : trace->values)
        line.values.push_back(static_cast<float>(value * scale));
    line.owner = std::move(trace);
    return line;
}

}  // namespace beatwitness::widgets
