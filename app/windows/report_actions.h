#pragma once

#include <QAction>
#include <QList>
#include <QObject>
#include <map>

#include "app/document/library_document.h"
#include "core/report/share/share.h"
#include "widgets/background/task_runner.h"

class QMenu;
class QSettings;

namespace beatwitness::app {

class MatrixPanel;

/// The write-up of the project at hand and what is shared of it: commands, asking where to, and the work in
/// the background. Nothing of the library changes.
class ReportActions : public QObject {
    Q_OBJECT

public:
    ReportActions(LibraryDocument& library, MatrixPanel& matrix, QSettings& settings, QWidget* window);

    QAction* writeUp;
    QAction* openWriteUp;  ///< the one that was written last
    /// Into the File menu, in front of `before`.
    void fillFileMenu(QMenu& menu, QAction* before);
    [[nodiscard]] QAction* shareAction(report::ShareKind kind) const { return shares_.at(kind); }
    [[nodiscard]] QList<QAction*> withShortcut() const { return {writeUp}; }
    [[nodiscard]] widgets::TaskRunner& runner() { return runner_; }

    /// Writes the project's write-up into `folder`.
    void writeInto(const QString& folder);
    /// Shares the project as `kind`; `path` is a file or a folder.
    void shareAs(report::ShareKind kind, const QString& path);

signals:
    void told(const QString& headline, const QString& sentence);
    void refused(const QString& headline, const QString& sentence);

private:
    void refresh();
    void askWriteUp();
    void askShare(report::ShareKind kind);
    [[nodiscard]] QString askFolder(const QString& title, const QString& name);
    [[nodiscard]] QString askFile(const QString& title, const QString& name);

    LibraryDocument& library_;
    MatrixPanel& matrix_;
    QSettings& settings_;
    QWidget* window_;
    std::map<report::ShareKind, QAction*> shares_;
    QString written_;  ///< the HTML file of the last write-up
    widgets::TaskRunner runner_;
};

}  // namespace beatwitness::app
