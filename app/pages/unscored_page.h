#pragma once

#include <QWidget>

class QLabel;

namespace beatwitness::app {

class LibraryDocument;
class ParticularsPanel;
class StoredSession;

/// A session of the library without anything to compare, or one that is planned: why there are no numbers,
/// and its particulars.
class UnscoredPage : public QWidget {
    Q_OBJECT

public:
    UnscoredPage(LibraryDocument& library, StoredSession& session, QWidget* parent = nullptr);

    [[nodiscard]] ParticularsPanel& particulars() { return *particulars_; }

protected:
    void paintEvent(QPaintEvent* event) override;

private:
    void refresh();

    StoredSession& session_;
    QLabel* name_;
    QLabel* why_;
    ParticularsPanel* particulars_;
};

}  // namespace beatwitness::app
