#include "app/windows/report_actions.h"

#include <QDesktopServices>
#include <QDir>
#include <QFileDialog>
#include <QMenu>
#include <QSettings>
#include <QStandardPaths>
#include <QUrl>

#include "app/pages/matrix/matrix_panel.h"
#include "app/report_drawing.h"
#include "app/windows/library_files.h"

namespace beatwitness::app {

using report::ShareKind;

namespace {

constexpr auto folderKey = "share/folder";

QString menuText(ShareKind kind) {
    switch (kind) {
        case ShareKind::Tables:
            return ReportActions::tr("&Tables as CSV …");
        case ShareKind::Pairs:
            return ReportActions::tr("Aligned &Pairs as CSV …");
        case ShareKind::Project:
            return ReportActions::tr("Project as a &Library …");
        case ShareKind::Copy:
            return ReportActions::tr("&Copy for Others …");
        case ShareKind::Bundle:
            break;
    }
    return ReportActions::tr("&Bundle for Critics …");
}

/// What stands behind the project's name in the path that is proposed.
QString nameOf(ShareKind kind) {
    switch (kind) {
        case ShareKind::Tables:
            return ReportActions::tr("tables");
        case ShareKind::Pairs:
            return ReportActions::tr("pairs");
        case ShareKind::Project:
            return ReportActions::tr("project");
        case ShareKind::Copy:
            return ReportActions::tr("copy for others");
        case ShareKind::Bundle:
            break;
    }
    return ReportActions::tr("bundle");
}

QString tipOf(ShareKind kind) {
    switch (kind) {
        case ShareKind::Tables:
            return ReportActions::tr("Agreement, sessions, flags, comparisons and examples");
        case ShareKind::Pairs:
            return ReportActions::tr("Every second of every wearing, under both clocks");
        case ShareKind::Project:
            return ReportActions::tr(
                "Everything of the project, originals included, for another machine of yours");
        case ShareKind::Copy:
            return ReportActions::tr(
                "Without originals, positions, serial numbers, notes and names of wearers");
        case ShareKind::Bundle:
            break;
    }
    return ReportActions::tr(
        "The copy, pairs, tables, settings, formulas and digests: enough to check every number");
}

QString told(ShareKind kind, const QString& path, std::size_t files) {
    if (report::isOneFile(kind))
        return kind == ShareKind::Copy
                   ? ReportActions::tr(
                         "%1 holds no originals, positions, serial numbers, notes or names of wearers.")
                         .arg(path)
                   : ReportActions::tr("%1 holds everything of the project, originals and notes included.")
                         .arg(path);
    return ReportActions::tr("%n file(s) are in %1.", nullptr, static_cast<int>(files)).arg(path);
}

/// A name as every file system takes it.
QString asFileName(QString name) {
    for (const QChar c : QStringLiteral("/\\:*?\"<>|"))
        name.replace(c, QLatin1Char('-'));
    return name;
}

}  // namespace

ReportActions::ReportActions(LibraryDocument& library, MatrixPanel& matrix, QSettings& settings,
                             QWidget* window)
    : QObject(window), library_(library), matrix_(matrix), settings_(settings), window_(window) {
    const auto action = [&](const QString& text, const char* name) {
        auto* made = new QAction(text, this);
        made->setObjectName(QString::fromLatin1(name));
        window->addAction(made);
        return made;
    };
    writeUp = action(tr("&Write-Up …"), "writeUp");
    writeUp->setShortcut(Qt::CTRL | Qt::SHIFT | Qt::Key_W);
    openWriteUp = action(tr("Read the Write-Up"), "openWriteUp");
    connect(writeUp, &QAction::triggered, this, &ReportActions::askWriteUp);
    connect(openWriteUp, &QAction::triggered, this,
            [this] { QDesktopServices::openUrl(QUrl::fromLocalFile(written_)); });
    for (const auto kind : report::allShareKinds) {
        auto* share = action(menuText(kind), "share");
        share->setStatusTip(tipOf(kind));
        share->setToolTip(tipOf(kind));
        connect(share, &QAction::triggered, this, [this, kind] { askShare(kind); });
        shares_.emplace(kind, share);
    }
    for (auto signal : {&LibraryDocument::opened, &LibraryDocument::closed})
        connect(&library_, signal, this, &ReportActions::refresh);
    connect(&matrix_, &MatrixPanel::projectChanged, this, &ReportActions::refresh);
    for (auto signal : {&widgets::TaskRunner::finished, &widgets::TaskRunner::cancelled})
        connect(&runner_, signal, this, &ReportActions::refresh);
    connect(&runner_, &widgets::TaskRunner::started, this, &ReportActions::refresh);
    connect(&runner_, &widgets::TaskRunner::cancelled, this, [this] {
        emit told(tr("Stopped"), tr("What was written before stays; the library is as it was."));
    });
    refresh();
}

void ReportActions::fillFileMenu(QMenu& menu, QAction* before) {
    menu.insertActions(before, {writeUp, openWriteUp});
    auto* share = new QMenu(tr("S&hare"), &menu);
    share->setToolTipsVisible(true);
    for (const auto& [kind, action] : shares_)
        share->addAction(action);
    menu.insertMenu(before, share);
}

void ReportActions::refresh() {
    const bool can = library_.isOpen() && !matrix_.projectName().isEmpty() && !runner_.busy();
    writeUp->setEnabled(can);
    openWriteUp->setEnabled(!written_.isEmpty() && !runner_.busy());
    for (const auto& [kind, action] : shares_)
        action->setEnabled(can);
}

void ReportActions::writeInto(const QString& folder) {
    const auto library = library_.path().toStdString(), project = matrix_.projectName().toStdString();
    const auto work = [library, project,
                       to = folder.toStdString()](const RunControl& run) -> Result<WrittenReport> {
        auto reader = library::Library::open(library, {.write = false});
        if (!reader) return reader.fault();
        return writeReport(*reader, project, to, run);
    };
    runner_.run(tr("Writing the project up"), work, [this, library](const Result<WrittenReport>& written) {
        if (!written) {
            emit refused(tr("The project could not be written up"),
                         QString::fromStdString(sentence(written.fault())));
            return;
        }
        if (library_.path().toStdString() == library) library_.keepOutcomes(written->fresh);
        written_ = QString::fromStdString(written->document.string());
        emit told(
            tr("The write-up is there"),
            tr("%1 needs nothing beside it and prints to PDF; Markdown, figures and tables lie in the same "
               "folder. File, Read the Write-Up opens it.")
                .arg(written_));
    });
}

void ReportActions::shareAs(ShareKind kind, const QString& path) {
    const auto library = library_.path().toStdString(), project = matrix_.projectName().toStdString();
    const auto work = [library, project, kind,
                       to = path.toStdString()](const RunControl& run) -> Result<report::Shared> {
        auto reader = library::Library::open(library, {.write = false});
        if (!reader) return reader.fault();
        return report::shareProject(*reader, project, kind, to, run);
    };
    runner_.run(tr("Sharing the project"), work,
                [this, library, kind, path](const Result<report::Shared>& shared) {
                    if (!shared) {
                        emit refused(tr("The project could not be shared"),
                                     QString::fromStdString(sentence(shared.fault())));
                        return;
                    }
                    if (library_.path().toStdString() == library) library_.keepOutcomes(shared->fresh);
                    emit told(tr("Ready to be shared"), app::told(kind, path, shared->files.size()));
                });
}

void ReportActions::askWriteUp() {
    const QString folder = askFolder(tr("Folder for the write-up"), tr("write-up"));
    if (!folder.isEmpty()) writeInto(folder);
}

void ReportActions::askShare(ShareKind kind) {
    const QString title = menuText(kind).remove(QLatin1Char('&')).remove(QStringLiteral(" …"));
    const QString path =
        report::isOneFile(kind) ? askFile(title, nameOf(kind)) : askFolder(title, nameOf(kind));
    if (!path.isEmpty()) shareAs(kind, path);
}

/// The files go into a folder of their own inside the one that is chosen.
QString ReportActions::askFolder(const QString& title, const QString& name) {
    const QString inside = QFileDialog::getExistingDirectory(
        window_, title,
        settings_
            .value(QLatin1String(folderKey),
                   QStandardPaths::writableLocation(QStandardPaths::DocumentsLocation))
            .toString());
    if (inside.isEmpty()) return {};
    settings_.setValue(QLatin1String(folderKey), inside);
    return QDir(inside).filePath(asFileName(matrix_.projectName() + QLatin1Char(' ') + name));
}

QString ReportActions::askFile(const QString& title, const QString& name) {
    const QDir folder(settings_
                          .value(QLatin1String(folderKey),
                                 QStandardPaths::writableLocation(QStandardPaths::DocumentsLocation))
                          .toString());
    QString path = QFileDialog::getSaveFileName(
        window_, title,
        folder.filePath(asFileName(matrix_.projectName() + QLatin1Char(' ') + name) +
                        QLatin1String(librarySuffix)),
        tr("Beatwitness libraries (*%1)").arg(QLatin1String(librarySuffix)));
    if (path.isEmpty()) return {};
    settings_.setValue(QLatin1String(folderKey), QFileInfo(path).absolutePath());
    return isLibraryFile(path) ? path : path + QLatin1String(librarySuffix);
}

}  // namespace beatwitness::app
