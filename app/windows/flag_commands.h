#pragma once

#include <QAction>
#include <QList>
#include <QObject>
#include <functional>
#include <optional>

#include "core/flags/decision_edits.h"
#include "core/library/ids.h"

class QMenu;

namespace beatwitness::app {

class Document;
class LibraryDocument;
class SessionPage;

/// The commands on flags: keep, dismiss, relabel, move, note, add; hiding names, passes, thresholds. Each one
/// action for menu, shortcut, button and test.
class FlagCommands : public QObject {
    Q_OBJECT

public:
    FlagCommands(Document& document, LibraryDocument& library, SessionPage& page, QWidget* window);

    /// A submenu at the end of Session.
    void fill(QMenu& session);
    [[nodiscard]] QList<QAction*> withShortcut() const;
    /// By object name, for tests; nullptr where there is none.
    [[nodiscard]] QAction* action(const QString& name) const;
    /// Whose thresholds count.
    void setProject(std::optional<library::ProjectId> project);

signals:
    /// The session page is needed in front.
    void pageWanted();
    /// What was wanted cannot be: one sentence.
    void refused(const QString& sentence);

private:
    using Doing = std::function<void()>;

    QAction* add(const QString& text, const QKeySequence& keys, const char* name, Doing doing);
    void makeVerdicts();
    void makeEdges();
    void makeAdding();
    void makePasses();
    void fillKinds(QMenu& menu, const char* name, std::function<void(flags::FlagKind)> chosen);
    void refresh();
    void decide(const flags::FlagChange& change, const QString& what);
    void move(const flags::Flag& flag, double begin_s, double end_s);
    void moveEdge(bool begin, std::optional<double> by);
    void leaveOut();
    void writeNote();
    void addFlag(flags::FlaggedTrace on, flags::FlagKind kind);
    void draw(int test, double begin_s, double end_s);
    void askKind(QMenu* menu);
    void dropUnmatched();
    void showThresholds();
    [[nodiscard]] const flags::Flag* atHand();

    Document& document_;
    LibraryDocument& library_;
    SessionPage& page_;
    QWidget* window_;
    std::optional<library::ProjectId> project_;
    QList<QAction*> all_;
    QMenu* relabel_;
    QMenu* addToTest_;
    QMenu* addToReference_;
};

}  // namespace beatwitness::app
