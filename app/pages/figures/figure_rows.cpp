#include "app/pages/figures/figure_rows.h"

#include <QCoreApplication>
#include <QRegularExpression>
#include <algorithm>

namespace beatwitness::app {
namespace {

using namespace library;

QString tr(const char* text) {
    return QCoreApplication::translate("FigureRows", text);
}

QString qt(std::string_view text) {
    return QString::fromUtf8(text.data(), static_cast<qsizetype>(text.size()));
}

/// Ids of the rows with these labels, ascending.
template <class Rows>
auto idsOf(const Rows& rows, const std::vector<std::string>& labels) {
    std::vector<decltype(rows.front().id)> ids;
    for (const auto& row : rows)
        if (std::ranges::find(labels, row.is.label) != labels.end()) ids.push_back(row.id);
    std::ranges::sort(ids);
    return ids;
}

std::optional<SessionId> sessionOf(const LibraryContents& contents, ProjectId project,
                                   const report::FigureRequest& request) {
    if (request.sessionId) return request.sessionId;
    if (request.session.empty()) return std::nullopt;
    for (const auto& session : contents.sessions)
        if (session->name == request.session && contents.isMember(project, session->id)) return session->id;
    return std::nullopt;
}

}  // namespace

QString nameOfFigure(const report::FigureRequest& request) {
    QString name = qt(report::figureKindTitle(request.kind));
    if (report::showsSession(request.kind) && !request.session.empty())
        return tr("%1: %2").arg(name, qt(request.session));
    if (request.devices.empty()) return name;
    QStringList devices;
    for (const auto& device : request.devices)
        devices << qt(device);
    return tr("%1: %2").arg(name, devices.join(QStringLiteral(", ")));
}

std::optional<FigureParticulars> figureRowOf(const LibraryContents& contents,
                                             const report::FigureRequest& request) {
    const auto project = std::ranges::find_if(
        contents.projects, [&](const auto& row) { return row.is.label == request.project; });
    if (project == contents.projects.end()) return std::nullopt;
    FigureParticulars figure;
    figure.project = project->id;
    figure.name = nameOfFigure(request).toStdString();
    auto& content = figure.content;
    content.kind = report::figureKindName(request.kind);
    if (report::showsSession(request.kind)) content.session = sessionOf(contents, project->id, request);
    content.devices = idsOf(contents.devices, request.devices);
    content.activities = idsOf(contents.activities, request.activities);
    content.aligned = request.clock == evaluation::Clock::Aligned;
    content.excludeReferenceFaults = request.excludeReferenceFaults;
    content.epoch_s = request.epoch_s;
    content.begin_s = request.begin_s;
    content.end_s = request.end_s;
    content.flags = request.flags;
    content.phases = request.phases;
    content.pins = request.pins;
    content.errorStrip = request.errorStrip;
    content.mapBeside = request.mapBeside;
    content.scale = report::scaleName(request.scale);
    figure.texts = {request.title, request.subtitle, request.caption};
    return figure;
}

DeviceCount devicesShown(report::FigureKind kind) {
    using Kind = report::FigureKind;
    switch (kind) {
        case Kind::Map:
        case Kind::Difference:
        case Kind::Robustness:
        case Kind::Card:
            return {1, 1};
        case Kind::Paired:
            return {2, 2};
        default:
            return {};
    }
}

FigureParticulars newFigure(const LibraryContents& contents, ProjectId project, report::FigureKind kind) {
    FigureParticulars figure;
    figure.project = project;
    figure.name = report::figureKindTitle(kind);
    figure.content.kind = report::figureKindName(kind);
    const auto count = devicesShown(kind);
    if (count.least == 0) return figure;
    auto devices = contents.columnsOf(project);
    if (devices.size() > count.most) devices.resize(count.most);
    std::ranges::sort(devices);
    figure.content.devices = std::move(devices);
    return figure;
}

QString fileNameOf(const QString& name) {
    static const QRegularExpression unfit(QStringLiteral("[^\\w.\\-]+"),
                                          QRegularExpression::UseUnicodePropertiesOption);
    QString file = QString(name).replace(unfit, QStringLiteral("-"));
    static const QRegularExpression edges(QStringLiteral("^[-.]+|[-.]+$"));
    file.remove(edges);
    file.truncate(100);
    return file.isEmpty() ? QStringLiteral("figure") : file.toLower();
}

}  // namespace beatwitness::app
